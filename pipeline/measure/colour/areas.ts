import type { Mask, Rgb8 } from '../../contracts/frame-image.ts';
import type { Triple } from '../../numeric/colour/matrix3.ts';
import { linearOfByte } from '../../numeric/colour/srgb.ts';

/** A small square of the picture. */
export interface Area {
  /** Mean in linear RGB, 0..1. */
  readonly rgb: Triple;
  /** Centre, as shares of the frame's width and height. */
  readonly at: readonly [number, number];
}

/** Averaging 3 x 3 px takes out the colour noise and the colour subsampling of a JPEG, and keeps a collar apart from a neck. */
const side = 3;
/** Codes next to the ceiling or in the deepest shade have lost their ratios to clipping and to rounding (8 bits: 1 code of 24 is 4 %). */
const brightestCode = 250;
const darkestCode = 24;
const insideCoverage = 192;

/**
 * Every small square area that lies wholly inside the mask and is well exposed in all channels.
 *
 * @param mask of the size of the picture; `null` takes the whole picture.
 */
export function areasOf(picture: Rgb8, mask: Mask | null): readonly Area[] {
  const areas: Area[] = [];
  const { width, height, data } = picture;
  for (let top = 0; top + side <= height; top += side) {
    for (let left = 0; left + side <= width; left += side) {
      const sum: [number, number, number] = [0, 0, 0];
      let usable = true;
      for (let y = top; usable && y < top + side; y += 1) {
        for (let x = left; usable && x < left + side; x += 1) {
          const px = y * width + x;
          if (mask !== null && mask.data[px]! < insideCoverage) usable = false;
          for (let channel = 0; channel < 3; channel += 1) {
            const code = data[3 * px + channel]!;
            if (code > brightestCode || code < darkestCode) usable = false;
            sum[channel]! += linearOfByte[code]!;
          }
        }
      }
      if (!usable) continue;
      const count = side * side;
      areas.push({
        rgb: [sum[0] / count, sum[1] / count, sum[2] / count],
        at: [(left + side / 2) / width, (top + side / 2) / height],
      });
    }
  }
  return areas;
}
