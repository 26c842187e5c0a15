/** Counts, lightness and stops, on real photographs and colours with a known exposure. */
import { converter } from 'culori';
import { unevenExposure } from '../../pipeline/checks/garment/uneven-exposure.ts';
import type { Rgb8 } from '../../pipeline/contracts/frame-image.ts';
import { largestGlintShare } from '../../pipeline/measure/exposure/lost-cloth.ts';
import { measureExposure } from '../../pipeline/measure/exposure.ts';
import { endCounts } from '../helpers/image-magick.ts';
import { frameOf, madeFrame, madeMask, noCapture, noRegions } from '../helpers/made-frame.ts';
import { exposed, inSize } from '../helpers/photographs-in-light.ts';
import { realPhotographs, sharpPhotographs } from '../helpers/real-photographs.ts';
import { aSetView } from '../helpers/set.ts';
import type { SweepPlan, SweepPoint } from './sweep.ts';

/** The shutter's band has a sweep of its own. */
const noFlash = { ...noCapture, flashFired: false };
const photographs = 'twelve camera photographs (Debian mate-backgrounds)';

function measured(picture: Rgb8) {
  const frame = frameOf(picture);
  return measureExposure(frame, { ...noRegions, garment: madeMask(frame, () => true) }, noFlash);
}

/** Clipped and blocked px and clipped patches, of photographs overexposed and underexposed so that there are many of each. */
export const endsOfTheScale: SweepPlan = {
  id: 'clipped-px',
  quantity: 'clipped and black px, patches',
  unit: 'px',
  range: 'four camera photographs (Debian mate-backgrounds), 1.5 stops over and 5 stops under',
  source: 'ImageMagick: threshold, connected components',
  limitText: 'exact',
  measure: async () => {
    // An odd width: no multiple of the px that are looked at together.
    const pictures = await inSize(sharpPhotographs().slice(0, 4), 501);
    return pictures.flatMap(({ name, picture }) =>
      [1.5, -5].flatMap((stops) => {
        const changed = exposed(picture, () => stops);
        const px = changed.width * changed.height;
        const exposure = measured(changed);
        const { clipped, blocked, clippedPatches } = endCounts(changed);
        const glints = clippedPatches.filter((area) => area < largestGlintShare * px);
        const compared: readonly (readonly [what: string, truth: number, measured: number])[] = [
          ['px with a channel clipped', clipped[0], exposure.clippedShare.garment! * px],
          ['px with two channels clipped', clipped[1], exposure.clippedTwoShare.garment! * px],
          ['px with three channels clipped', clipped[2], exposure.clippedThreeShare.garment! * px],
          ['black px', blocked, exposure.blockedShare! * px],
          ['px of the largest clipped patch', clippedPatches[0] ?? 0, exposure.largestClippedBlobShare! * px],
          ['px of points of light', sum(glints), exposure.specularPoints!.share * px],
          ['points of light', glints.length, exposure.specularPoints!.count],
        ];
        return compared.map(([what, truth, value]) => ({
          truth,
          // A share times the px it is a share of is a whole number, but for the last bits of a double.
          measured: Math.round(value),
          low: truth,
          high: truth,
          condition: `${what}, ${name} at ${stops} stops`,
        }));
      }),
    );
  },
};

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

/** CIE L* of flat colours. */
export const lightnessOfColours: SweepPlan = {
  id: 'lightness',
  quantity: 'lightness of skin and garment',
  unit: 'L*',
  range: '216 colours over the whole of sRGB',
  source: 'culori, CIE Lab with D65',
  limitText: '0.1',
  measure: async () => {
    const lab = converter('lab65');
    const levels = [0, 16, 64, 119, 180, 255];
    return levels.flatMap((r) =>
      levels.flatMap((g) =>
        levels.map((b): SweepPoint => {
          const frame = madeFrame(8, 8, () => [r, g, b]);
          const skin = madeMask(frame, () => true);
          const truth = lab({ mode: 'rgb', r: r / 255, g: g / 255, b: b / 255 }).l;
          return {
            truth,
            measured: measureExposure(frame, { ...noRegions, skin }, noFlash).skinLuma,
            low: truth - 0.1,
            high: truth + 0.1,
            condition: `sRGB ${r} ${g} ${b}`,
          };
        }),
      ),
    );
  },
};

/** f-number and exposure time as cameras mark them; the first one is the frame that the others are compared with. */
const settings = [
  [4, 1 / 125],
  [4, 1 / 160],
  [4, 1 / 200],
  [4, 1 / 250],
  [5.6, 1 / 125],
  [5.6, 1 / 160],
  [8, 1 / 125],
  [5.6, 1 / 320],
  [8, 1 / 200],
  [8, 1 / 250],
] as const;

/** EV at ISO 100: ISO 2720, log2(N^2 / t). */
const exposureValue = ([fNumber, timeS]: readonly [number, number]): number =>
  Math.log2(fNumber ** 2 / timeS);

/** Spread of exposure over a set of two: the same scene taken with other settings. */
export const exposureOfSettings: SweepPlan = {
  id: 'exposure-spread',
  quantity: 'exposure spread over a set',
  unit: 'stops',
  range: `${photographs}, 0 to 3 stops`,
  source: 'EV = log2(N²/t) of marked settings (ISO 2720)',
  limitText: '0.1 stop',
  measure: async () => {
    const pictures = await inSize(realPhotographs(), 240);
    return pictures.flatMap(({ name, picture }) => {
      const reference = measured(picture);
      return settings.map((setting): SweepPoint => {
        const truth = exposureValue(setting) - exposureValue(settings[0]);
        const other = measured(exposed(picture, () => -truth));
        const seen = unevenExposure.observe(aSetView([{ exposure: reference }, { exposure: other }]));
        const spread = 'observations' in seen ? seen.observations[0]?.value : null;
        return {
          truth,
          measured: typeof spread === 'number' ? spread : null,
          low: truth - 0.1,
          high: truth + 0.1,
          condition: `${name}, f/${setting[0]} and 1/${Math.round(1 / setting[1])} s`,
        };
      });
    });
  },
};

/** Background against model: the same scene twice, the lower half lit by a flash and the upper by the same flash from farther away. */
export const flashOverDistance: SweepPlan = {
  id: 'background-stops',
  quantity: 'background against model',
  unit: 'stops',
  range: `${photographs}, flash 1 to 2.8 times as far away`,
  source: 'inverse-square law',
  limitText: '0.1 stop',
  measure: async () => {
    const pictures = await inSize(realPhotographs(), 240);
    return pictures.flatMap(({ name, picture }) =>
      [1, 1.2, Math.SQRT2, 1.7, 2, 2.4, Math.sqrt(8)].map((distance): SweepPoint => {
        const twice = exposed(doubled(picture), (row) =>
          row < picture.height ? -2 * Math.log2(distance) : 0,
        );
        const frame = frameOf(twice);
        const exposure = measureExposure(
          frame,
          {
            ...noRegions,
            garment: madeMask(frame, (_, y) => y >= picture.height),
            background: madeMask(frame, (_, y) => y < picture.height),
          },
          noFlash,
        );
        const truth = -2 * Math.log2(distance);
        return {
          truth,
          measured: exposure.backgroundEvDifference,
          low: truth - 0.1,
          high: truth + 0.1,
          condition: `${name}, background ${distance.toFixed(2)} times as far from the flash`,
        };
      }),
    );
  },
};

/** The picture twice, one above the other. */
function doubled({ width, height, data }: Rgb8): Rgb8 {
  const twice = new Uint8Array(2 * data.length);
  twice.set(data);
  twice.set(data, data.length);
  return { width, height: 2 * height, data: twice };
}
