import type { FrameImage } from '../contracts/frame-image.ts';
import type { Colour, Tint } from '../contracts/measurement/colour.ts';
import type { Regions } from '../contracts/regions.ts';
import { type LogRatios, miredPerLogRatio, whitenessOfCast } from '../numeric/colour/cast.ts';
import { labOfRgb, rgbOfLab } from '../numeric/colour/lab.ts';
import type { Triple } from '../numeric/colour/matrix3.ts';
import { bootstrap, mean, median, standardDeviation } from '../numeric/statistics.ts';
import { areaColours } from './colour/areas.ts';
import { tintOf } from './colour/tint.ts';

/** Light and dark skin of the ColorChecker Classic (maker's data before 2014, CIELAB D50): the two ends that faces lie between. */
const lightSkin: Triple = [65.711, 18.13, 17.81];
const darkSkin: Triple = [37.986, 13.555, 14.059];

const logRatios = ([red, green, blue]: Triple): LogRatios => ({
  redGreen: Math.log(red / green),
  blueGreen: Math.log(blue / green),
});

/** Tint of skin under the white of the encoding: halfway between the two patches, whose distance is the doubt about it. */
const skinEnds = [lightSkin, darkSkin].map((lab) => logRatios(rgbOfLab(lab)));
const usualSkin: LogRatios = {
  redGreen: mean(skinEnds.map(({ redGreen }) => redGreen)),
  blueGreen: mean(skinEnds.map(({ blueGreen }) => blueGreen)),
};
/** Whose skin it is is not known: half the distance of the two patches, in mired. */
const skinDoubtMired = Math.abs(
  ((skinEnds[0]!.redGreen - skinEnds[0]!.blueGreen - (skinEnds[1]!.redGreen - skinEnds[1]!.blueGreen)) / 2) *
    miredPerLogRatio(),
);
/** A scene whose surfaces are not grey on average: 3 degrees of angular error (Shades of Grey on outdoor sets) are about 20 mired; from memory. */
const sceneDoubtMired = 20;
/** Order of the Minkowski mean of Shades of Grey (Finlayson and Trezzi, Color Imaging Conference 2004). */
const minkowskiOrder = 6;
const resamples = 64;

const difference = (a: LogRatios, b: LogRatios): LogRatios => ({
  redGreen: a.redGreen - b.redGreen,
  blueGreen: a.blueGreen - b.blueGreen,
});

/** Illuminant by Shades of Grey: the Minkowski mean of each channel over the scene. */
function shadesOfGrey(colours: readonly Triple[], drawn: ArrayLike<number>): LogRatios {
  const sums: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < drawn.length; i += 1) {
    const colour = colours[drawn[i]!]!;
    for (let channel = 0; channel < 3; channel += 1) sums[channel]! += colour[channel]! ** minkowskiOrder;
  }
  const [red, green, blue] = sums.map((sum) => Math.log(sum) / minkowskiOrder) as [number, number, number];
  return { redGreen: red - green, blueGreen: blue - green };
}

interface Estimate {
  readonly cast: LogRatios;
  readonly sigmaMired: number;
  readonly reference: 'skin' | 'scene';
}

/** At most this many areas take part in a bootstrap, evenly picked: more change nothing in its spread that matters. */
const mostAreas = 2000;

function fromScene(colours: readonly Triple[]): Estimate | null {
  const step = Math.max(1, Math.floor(colours.length / mostAreas));
  const some = colours.filter((_, index) => index % step === 0);
  if (tintOf(some) === null) return null;
  const all = some.map((_, index) => index);
  const spread = bootstrap(some.length, resamples, 1, (drawn) => {
    return whitenessOfCast(shadesOfGrey(some, drawn))?.mired ?? null;
  });
  const sampling = spread.length > 1 ? standardDeviation(spread) : 0;
  return {
    cast: shadesOfGrey(some, all),
    sigmaMired: Math.hypot(sampling, sceneDoubtMired),
    reference: 'scene',
  };
}

function fromSkin(skin: Tint | null): Estimate | null {
  if (skin === null) return null;
  // Standard error of a median of normal values: 1.2533 sigma / sqrt(n).
  const sampling = ((1.2533 * skin.spread) / Math.sqrt(skin.areas)) * miredPerLogRatio();
  return {
    cast: difference(skin, usualSkin),
    sigmaMired: Math.hypot(sampling, skinDoubtMired),
    reference: 'skin',
  };
}

function medianLab(colours: readonly Triple[]): Colour['garmentLab'] {
  const labs = colours.map(labOfRgb);
  if (labs.length === 0) return null;
  return [median(labs.map(([l]) => l)), median(labs.map(([, a]) => a)), median(labs.map(([, , b]) => b))];
}

/**
 * The cast left in one frame, and the colours by which the frames of a set are compared. All on the reduced picture, in linear light.
 *
 * The temperature is absolute and therefore doubtful (its uncertainty says so); what a set's drift rests on are the tints of cloth
 * and skin, which the frames of one garment share.
 */
export function measureColour(image: FrameImage, regions: Regions): Colour {
  const reason: Record<string, string> = {};
  const cloth = regions.garment === null ? [] : areaColours(image.analysis, regions.garment);
  const garmentTint = tintOf(cloth);
  const skinTint = regions.skin === null ? null : tintOf(areaColours(image.analysis, regions.skin));
  if (garmentTint === null) {
    const why = regions.reason.garment ?? 'Too little of the cloth is well exposed to tell its colour.';
    reason.garmentTint = why;
    reason.garmentLab = why;
  }
  if (skinTint === null)
    reason.skinTint = regions.reason.skin ?? 'Too little of the skin is well exposed to tell its colour.';

  const estimate = fromSkin(skinTint) ?? fromScene(areaColours(image.analysis, null));
  const whiteness = estimate === null ? null : whitenessOfCast(estimate.cast);
  if (estimate === null || whiteness === null) {
    reason.cctK =
      'Too little of the frame is well exposed, or its light is too strongly coloured, to tell its temperature.';
  }
  const told = estimate !== null && whiteness !== null;
  return {
    cctK: whiteness?.cctK ?? null,
    mired: whiteness?.mired ?? null,
    duv: whiteness?.duv ?? null,
    sigmaMired: told ? estimate.sigmaMired : null,
    garmentLab: garmentTint === null ? null : medianLab(cloth),
    reference: told ? estimate.reference : null,
    garmentTint,
    skinTint,
    reason,
  };
}
