/** Pictures under another light. */
import type { Mask, Rgb8 } from '../../pipeline/contracts/frame-image.ts';
import { linearOfByte, srgbOfLinear } from '../../pipeline/numeric/colour/srgb.ts';
import { lightAt } from './lit-colours.ts';
import { seededRandom } from './random.ts';

/**
 * The picture under a light that many mired and Duv from D65: von Kries gains on linear red and blue; what passes the ceiling is clipped.
 *
 * Codes are rounded up or down at random, so that they are right on average, as a sensor's noise sees to in a photograph: rounded to
 * the nearest, an even dark cloth of code 45 would be half a code, 2 % of its light, off everywhere.
 */
export function relit({ width, height, data }: Rgb8, mired: number, duv: number): Rgb8 {
  const { redGreen, blueGreen } = lightAt(mired, duv);
  const random = seededRandom(1);
  const codes = [redGreen, 0, blueGreen].map((gain) =>
    Float64Array.from(linearOfByte, (light) => Math.min(255, 255 * srgbOfLinear(light * Math.exp(gain)))),
  );
  return { width, height, data: data.map((code, i) => Math.floor(codes[i % 3]![code]! + random())) };
}

export const wholeMask = ({ width, height }: Rgb8): Mask => ({
  width,
  height,
  data: new Uint8Array(width * height).fill(255),
});
