import type { FrameImage } from '../contracts/frame-image.ts';
import type { Colour } from '../contracts/measurement/colour.ts';
import type { People } from '../contracts/measurement/people.ts';
import type { Regions } from '../contracts/regions.ts';
import { whitenessOfCast } from '../numeric/colour/cast.ts';
import { labOfRgb } from '../numeric/colour/lab.ts';
import { median } from '../numeric/statistics.ts';
import { type Areas, areasOf } from './colour/areas.ts';
import { fromCard } from './colour/from-card.ts';
import { fromScene } from './colour/from-scene.ts';
import { fromSkin } from './colour/from-skin.ts';
import { findNeutralCard } from './colour/neutral-card.ts';
import { clothPlace, skinPlace, trunksOf } from './colour/places.ts';
import { swatchesOf } from './colour/swatches.ts';
import { fewestAreas, tintOf } from './colour/tint.ts';

/** Areas whose median is taken, evenly picked: it moves by a fortieth of their spread at most. */
const enoughAreas = 4000;

function medianLab({ count, rgb }: Areas): Colour['garmentLab'] {
  const step = Math.max(1, Math.floor(count / enoughAreas));
  const taken = Math.ceil(count / step);
  const lightness = new Float64Array(taken);
  const a = new Float64Array(taken);
  const b = new Float64Array(taken);
  for (let i = 0; i < taken; i++) {
    const at = 3 * i * step;
    const lab = labOfRgb([rgb[at]!, rgb[at + 1]!, rgb[at + 2]!]);
    lightness[i] = lab[0];
    a[i] = lab[1];
    b[i] = lab[2];
  }
  return [median(lightness), median(a), median(b)];
}

/**
 * The cast left in one frame, and the colours by which the frames of a set are compared. All on the reduced picture, in linear light.
 *
 * The temperature is absolute and therefore doubtful without a neutral card (its uncertainty says so); what a set's drift rests on are the swatches of cloth
 * and skin, which the frames of one garment share.
 */
export function measureColour(image: FrameImage, regions: Regions, people: People): Colour {
  const reason: Record<string, string> = {};
  const picture = image.analysis;
  const cloth = regions.garment && areasOf(picture, regions.garment);
  const skin = regions.skin && areasOf(picture, regions.skin);
  const enoughCloth = cloth !== null && cloth.count >= fewestAreas;
  const enoughSkin = skin !== null && skin.count >= fewestAreas;
  if (!enoughCloth) {
    reason.garmentLab =
      regions.reason.garment ?? 'Too little of the cloth is well exposed to tell its colour.';
  }
  if (!enoughCloth && !enoughSkin) {
    reason.swatches = 'Too little cloth and skin is well exposed to compare the frame with its set.';
  }
  const trunks = trunksOf(people);

  const card = findNeutralCard(picture, regions.subject, people);
  const estimate = fromCard(card) ?? fromSkin(skin && tintOf(skin)) ?? fromScene(areasOf(picture, null));
  const whiteness = estimate && whitenessOfCast(estimate.cast);
  if (!whiteness) {
    reason.cctK =
      'Too little of the frame is well exposed, or its light is too strongly coloured, to tell its temperature.';
  }
  return {
    cctK: whiteness?.cctK ?? null,
    mired: whiteness?.mired ?? null,
    duv: whiteness?.duv ?? null,
    sigmaMired: whiteness ? estimate.sigmaMired : null,
    sigmaDuv: whiteness ? estimate.sigmaDuv : null,
    garmentLab: enoughCloth ? medianLab(cloth) : null,
    reference: whiteness ? estimate.reference : null,
    cardBox: card?.box ?? null,
    swatches: [
      ...(enoughCloth ? swatchesOf(cloth, clothPlace, trunks) : []),
      ...(enoughSkin ? swatchesOf(skin, skinPlace, trunks) : []),
    ],
    reason,
  };
}
