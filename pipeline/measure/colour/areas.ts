import type { Mask, Rgb8 } from '../../contracts/frame-image.ts';
import type { Triple } from '../../numeric/colour/matrix3.ts';
import { linearOfByte } from '../../numeric/colour/srgb.ts';

/** Averaging 3 x 3 px takes out the colour noise and the colour subsampling of a JPEG, and keeps a collar apart from a neck. */
const side = 3;
/** Codes next to the ceiling or in the deepest shade have lost their ratios to clipping and to rounding (8 bits: 1 code of 24 is 4 %). */
const brightestCode = 250;
const darkestCode = 24;
const insideCoverage = 192;

/**
 * Linear RGB (0..1) of every small square area that lies wholly inside the mask and is well exposed in all channels.
 *
 * @param mask of the size of the picture; `null` takes the whole picture.
 */
export function areaColours(picture: Rgb8, mask: Mask | null): readonly Triple[] {
  const colours: Triple[] = [];
  const { width, height, data } = picture;
  for (let top = 0; top + side <= height; top += side) {
    for (let left = 0; left + side <= width; left += side) {
      const sum: [number, number, number] = [0, 0, 0];
      let usable = true;
      for (let y = top; usable && y < top + side; y += 1) {
        for (let x = left; x < left + side; x += 1) {
          const px = y * width + x;
          if (mask !== null && mask.data[px]! < insideCoverage) usable = false;
          for (let channel = 0; channel < 3; channel += 1) {
            const code = data[3 * px + channel]!;
            if (code > brightestCode || code < darkestCode) usable = false;
            sum[channel]! += linearOfByte[code]!;
          }
        }
      }
      const count = side * side;
      if (usable) colours.push([sum[0] / count, sum[1] / count, sum[2] / count]);
    }
  }
  return colours;
}
