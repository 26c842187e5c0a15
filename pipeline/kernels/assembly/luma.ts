// Luma of 8-bit RGB as in numeric/luma.ts, in double precision and from red to blue.

import { joined, last } from './lanes';

/** Luma of the first two of four px. */
function lumaOfTwo(red: v128, green: v128, blue: v128): v128 {
  const sum = f64x2.add(
    f64x2.mul(f64x2.splat(0.2126), f64x2.convert_low_i32x4_s(red)),
    f64x2.mul(f64x2.splat(0.7152), f64x2.convert_low_i32x4_s(green)),
  );
  return f64x2.add(sum, f64x2.mul(f64x2.splat(0.0722), f64x2.convert_low_i32x4_s(blue)));
}

/**
 * @param rgb interleaved, bytes; up to 13 more are read
 * @param count px
 * @param into 32-bit floating point; up to three more are written
 */
export function lumaOfBytes(rgb: usize, count: usize, into: usize): void {
  const none = i64x2.splat(0);
  for (let px: usize = 0; px < count; px += 4, rgb += 12, into += 16) {
    const four = v128.load(rgb);
    const red = i8x16.shuffle(four, none, 0, 16, 16, 16, 3, 16, 16, 16, 6, 16, 16, 16, 9, 16, 16, 16);
    const green = i8x16.shuffle(four, none, 1, 16, 16, 16, 4, 16, 16, 16, 7, 16, 16, 16, 10, 16, 16, 16);
    const blue = i8x16.shuffle(four, none, 2, 16, 16, 16, 5, 16, 16, 16, 8, 16, 16, 16, 11, 16, 16, 16);
    v128.store(into, joined(lumaOfTwo(red, green, blue), lumaOfTwo(last(red), last(green), last(blue))));
  }
}
