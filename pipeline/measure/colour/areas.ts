import type { Mask, Rgb8 } from '../../contracts/frame-image.ts';
import { linearOfByte } from '../../numeric/colour/srgb.ts';

/** Small squares of a picture. Plain numbers: a hundred thousand objects a frame cost more to make and collect than to measure. */
export interface Areas {
  readonly count: number;
  /** Means in linear RGB, 0..1: three numbers an area. */
  readonly rgb: Float64Array;
  /** Centres, as shares of the frame's width and height: two numbers an area. */
  readonly at: Float64Array;
}

/** Averaging 3 x 3 px takes out the colour noise and the colour subsampling of a JPEG, and keeps a collar apart from a neck. */
const side = 3;
/** Codes next to the ceiling or in the deepest shade have lost their ratios to clipping and to rounding (8 bits: 1 code of 24 is 4 %). */
const brightestCode = 250;
const darkestCode = 24;
const insideCoverage = 192;

/**
 * Writes the mean of the square whose first px is `left`, `top`.
 * @returns whether there is one: `false` where a px lies outside the mask or is not well exposed.
 */
function takeMean(
  { width, data }: Rgb8,
  mask: Mask | null,
  left: number,
  top: number,
  rgb: Float64Array,
  at: number,
): boolean {
  let red = 0;
  let green = 0;
  let blue = 0;
  for (let y = top; y < top + side; y += 1) {
    for (let px = y * width + left; px < y * width + left + side; px += 1) {
      if (mask !== null && mask.data[px]! < insideCoverage) return false;
      const r = data[3 * px]!;
      const g = data[3 * px + 1]!;
      const b = data[3 * px + 2]!;
      if (Math.max(r, g, b) > brightestCode || Math.min(r, g, b) < darkestCode) return false;
      red += linearOfByte[r]!;
      green += linearOfByte[g]!;
      blue += linearOfByte[b]!;
    }
  }
  const count = side * side;
  rgb[at] = red / count;
  rgb[at + 1] = green / count;
  rgb[at + 2] = blue / count;
  return true;
}

/** At least as many as there are squares inside: those whose first px is. */
function mostInside({ width, height, data }: Mask): number {
  let squares = 0;
  for (let top = 0; top + side <= height; top += side) {
    for (let left = 0; left + side <= width; left += side) {
      if (data[top * width + left]! >= insideCoverage) squares++;
    }
  }
  return squares;
}

/**
 * Every small square area that lies wholly inside the mask and is well exposed in all channels.
 *
 * @param mask of the size of the picture; `null` takes the whole picture.
 */
export function areasOf(picture: Rgb8, mask: Mask | null): Areas {
  const { width, height } = picture;
  const most = mask === null ? Math.floor(width / side) * Math.floor(height / side) : mostInside(mask);
  const rgb = new Float64Array(3 * most);
  const at = new Float64Array(2 * most);
  let count = 0;
  for (let top = 0; top + side <= height; top += side) {
    for (let left = 0; left + side <= width; left += side) {
      if (!takeMean(picture, mask, left, top, rgb, 3 * count)) continue;
      at[2 * count] = (left + side / 2) / width;
      at[2 * count + 1] = (top + side / 2) / height;
      count++;
    }
  }
  return { count, rgb, at };
}
