/** Pictures under another light. */
import type { Mask, Rgb8 } from '../../pipeline/contracts/frame-image.ts';
import { byteOfLinear, linearOfByte } from '../../pipeline/numeric/colour/srgb.ts';
import { lightAt } from './lit-colours.ts';

/** The picture under a light that many mired and Duv from D65: von Kries gains on linear red and blue; what passes the ceiling is clipped. */
export function relit({ width, height, data }: Rgb8, mired: number, duv: number): Rgb8 {
  const { redGreen, blueGreen } = lightAt(mired, duv);
  const codes = [redGreen, 0, blueGreen].map((gain) =>
    Uint8Array.from(linearOfByte, (light) => byteOfLinear(light * Math.exp(gain))),
  );
  return { width, height, data: data.map((code, i) => codes[i % 3]![code]!) };
}

export const wholeMask = ({ width, height }: Rgb8): Mask => ({
  width,
  height,
  data: new Uint8Array(width * height).fill(255),
});
