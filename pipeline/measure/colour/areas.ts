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

/** Mean of the square whose first px is `left`, `top`; `null` where a px lies outside the mask or is not well exposed. */
function meanOf({ width, data }: Rgb8, mask: Mask | null, left: number, top: number): Triple | null {
  let red = 0;
  let green = 0;
  let blue = 0;
  for (let y = top; y < top + side; y += 1) {
    for (let px = y * width + left; px < y * width + left + side; px += 1) {
      if (mask !== null && mask.data[px]! < insideCoverage) return null;
      const [r, g, b] = [data[3 * px]!, data[3 * px + 1]!, data[3 * px + 2]!];
      if (Math.max(r, g, b) > brightestCode || Math.min(r, g, b) < darkestCode) return null;
      red += linearOfByte[r]!;
      green += linearOfByte[g]!;
      blue += linearOfByte[b]!;
    }
  }
  const count = side * side;
  return [red / count, green / count, blue / count];
}

/**
 * Every small square area that lies wholly inside the mask and is well exposed in all channels.
 *
 * @param mask of the size of the picture; `null` takes the whole picture.
 */
export function areasOf(picture: Rgb8, mask: Mask | null): readonly Area[] {
  const areas: Area[] = [];
  const { width, height } = picture;
  for (let top = 0; top + side <= height; top += side) {
    for (let left = 0; left + side <= width; left += side) {
      const rgb = meanOf(picture, mask, left, top);
      if (rgb !== null) areas.push({ rgb, at: [(left + side / 2) / width, (top + side / 2) / height] });
    }
  }
  return areas;
}
