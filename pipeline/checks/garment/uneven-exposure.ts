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

interface Spread {
  readonly part: 'skin' | 'cloth';
  readonly dark: Reading;
  readonly bright: Reading;
  readonly stops: number;
}

/** Nothing where fewer than two frames show the part. */
function spreadOf(part: Spread['part'], own: readonly Reading[]): readonly Spread[] {
  const byLight = own.toSorted((a, b) => a.stops - b.stops);
  const [dark, bright] = [byLight[0], byLight.at(-1)];
  if (dark === undefined || bright === undefined || own.length < 2) return [];
  return [{ part, dark, bright, stops: bright.stops - dark.stops }];
}

/**
 * Exposure changes skin and cloth alike. Where only one of them differs, the frames show another part of it or it lies in its own
 * shade, so the smaller difference counts; skin that shows on too few frames says nothing.
 */
export const unevenExposure: SetCheck = {
  level: 'set',
  meta: {
    id: 'uneven-exposure',
    title: 'Uneven exposure',
    what: 'How far the brightness of the model differs within the set, in stops: of skin or of cloth, whichever differs less.',
    quantities: {
      spread: {
        bad: 'above',
        unit: 'stops',
        meaning:
          'brightest frame of the set minus darkest, from the median of skin or of cloth, whichever differs less',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ frames }) => {
    const skin = readings(frames, 'skinLuma');
    const cloth = readings(frames, 'garmentLuma');
    const spreads = [
      ...(skin.length * 2 >= cloth.length ? spreadOf('skin', skin) : []),
      ...spreadOf('cloth', cloth),
    ];
    const least = spreads.toSorted((a, b) => a.stops - b.stops)[0];
    if (least === undefined) return notApplicable('Too few frames could be compared.');
    const { part, dark, bright, stops } = least;
    return observed({
      quantity: 'spread',
      value: stops,
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
