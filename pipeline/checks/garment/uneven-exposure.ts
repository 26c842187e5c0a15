import { type FrameView, type SetCheck, standardLevels } from '../../contracts/check.ts';
import { xyzOfLab } from '../../numeric/colour/lab.ts';
import { notApplicable, observed } from '../observed.ts';
import { against, fileName } from '../words.ts';

/** Linear light of sRGB code 1 of 255 (IEC 61966-2-1), the darkest that is not black: below it stops mean nothing. */
const darkest = 1 / 255 / 12.92;

/** CIE L* as stops of relative luminance, 0 at white. */
function stopsOf(lightness: number): number {
  const [, luminance] = xyzOfLab([lightness, 0, 0]);
  return Math.log2(Math.max(luminance, darkest));
}

interface Reading {
  readonly id: string;
  readonly stops: number;
}

function readings(frames: readonly FrameView[], part: 'skinLuma' | 'garmentLuma'): readonly Reading[] {
  return frames.flatMap(({ id, measurement }) => {
    const lightness = measurement.exposure[part];
    return lightness === null ? [] : [{ id, stops: stopsOf(lightness) }];
  });
}

/** Skin is the same from frame to frame whatever side the garment is seen from; where it shows on too few frames the cloth stands in. */
export const unevenExposure: SetCheck = {
  level: 'set',
  meta: {
    id: 'uneven-exposure',
    title: 'Uneven exposure',
    what: 'How far the brightness of the model differs within the set, in stops, from skin or else from cloth.',
    quantities: {
      spread: {
        bad: 'above',
        unit: 'stops',
        meaning: 'brightest frame of the set minus darkest, from the median of skin, else of cloth',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ frames }) => {
    const skin = readings(frames, 'skinLuma');
    const cloth = readings(frames, 'garmentLuma');
    const [part, own] =
      skin.length >= 2 && skin.length * 2 >= cloth.length ? ['skin', skin] : ['cloth', cloth];
    const byLight = [...own].sort((a, b) => a.stops - b.stops);
    const [dark, bright] = [byLight[0], byLight.at(-1)];
    if (dark === undefined || bright === undefined || own.length < 2) {
      return notApplicable('Too few frames could be compared.');
    }
    return observed({
      quantity: 'spread',
      value: bright.stops - dark.stops,
      frames: [dark.id, bright.id],
      data: { part, dark: dark.id, bright: bright.id },
    });
  },
  describe: ({ value, data }, { limit }) => {
    const shown = against(Number(value), Number(limit), 'stops');
    return {
      title: 'Uneven exposure',
      detail: `The ${data?.part} in ${fileName(String(data?.bright))} is ${shown.value} brighter than in ${fileName(String(data?.dark))}, more than the limit of ${shown.limit}. Match the brightness of the set; fix the exposure for a garment next time.`,
    };
  },
};
