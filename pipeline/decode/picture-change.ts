import sharp from 'sharp';
import type { Box } from '../contracts/box.ts';

/** Compared at this long edge: the averages drown what encoding adds, and a passer-by still covers dozens of px. */
const comparedLongEdgePx = 450;

interface Reduced {
  readonly width: number;
  readonly height: number;
  readonly data: Buffer;
}

async function reduced(jpeg: Uint8Array, width: number, height: number): Promise<Reduced> {
  const data = await sharp(jpeg)
    .resize({ width, height, fit: 'fill', kernel: 'linear' })
    .toColourspace('srgb')
    .raw()
    .toBuffer();
  return { width, height, data };
}

/** First and last whole px that a stretch of shares touches. */
function span(start: number, length: number, total: number): readonly [number, number] {
  const from = Math.min(total - 1, Math.max(0, Math.floor(start * total)));
  return [from, Math.max(from + 1, Math.min(total, Math.ceil((start + length) * total)))];
}

/**
 * How much two pictures of one frame differ inside a box: root mean square over px and channels, in codes of 8 bits.
 * @param before JPEG of the whole frame, upright, in sRGB; `now` likewise, of the same shape.
 */
export async function pictureChange(before: Uint8Array, now: Uint8Array): Promise<(box: Box) => number> {
  const { width = 1, height = 1 } = await sharp(before).metadata();
  const scale = Math.min(1, comparedLongEdgePx / Math.max(width, height));
  const size = [width, height].map((px) => Math.max(1, Math.round(px * scale))) as [number, number];
  const [a, b] = await Promise.all([reduced(before, ...size), reduced(now, ...size)]);
  return ([x, y, wide, high]) => {
    const [left, right] = span(x, wide, a.width);
    const [top, bottom] = span(y, high, a.height);
    let sum = 0;
    for (let row = top; row < bottom; row++)
      for (let i = 3 * (row * a.width + left); i < 3 * (row * a.width + right); i++)
        sum += (a.data[i]! - b.data[i]!) ** 2;
    return Math.sqrt(sum / (3 * (right - left) * (bottom - top)));
  };
}
