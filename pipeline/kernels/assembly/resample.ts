// The two passes of numeric/resample.ts over one output row. Sums run in double precision and in a fixed order.

import { joined, last } from './lanes';

/** The first two of four 32-bit whole numbers times a weight. */
function firstTwo(numbers: v128, weight: v128): v128 {
  return f64x2.mul(weight, f64x2.convert_low_i32x4_s(numbers));
}

/** The last two of four 32-bit whole numbers times a weight. */
function lastTwo(numbers: v128, weight: v128): v128 {
  return f64x2.mul(weight, f64x2.convert_low_i32x4_s(last(numbers)));
}

/**
 * Adds up source rows, each times its weight: four at a time, then two, then one.
 * @param source first sample of the first row, bytes; rows follow every `stride` bytes
 * @param weights of the rows, 64-bit floating point
 * @param outside what lies beyond the source adds to every sample
 * @param samples of a row; up to seven more are read and written
 * @param sums 64-bit floating point, one a sample
 */
export function mixRows(
  source: usize,
  stride: usize,
  weights: usize,
  rows: usize,
  outside: f64,
  samples: usize,
  sums: usize,
): void {
  for (let sample: usize = 0; sample < samples; sample += 8) {
    let sums01 = f64x2.splat(outside);
    let sums23 = sums01;
    let sums45 = sums01;
    let sums67 = sums01;
    let at = source + sample;
    let weight = weights;
    for (let left = rows; left > 0; ) {
      const together: usize = left >= 4 ? 4 : left >= 2 ? 2 : 1;
      // The first row apart: a sum that begins with a zero would be one addition longer.
      let w = v128.load64_splat(weight);
      let eight = v128.load8x8_u(at);
      let low = i32x4.extend_low_i16x8_u(eight);
      let high = i32x4.extend_high_i16x8_u(eight);
      let part01 = firstTwo(low, w);
      let part23 = lastTwo(low, w);
      let part45 = firstTwo(high, w);
      let part67 = lastTwo(high, w);
      for (let row: usize = 1; row < together; row++) {
        w = v128.load64_splat(weight + 8 * row);
        eight = v128.load8x8_u(at + row * stride);
        low = i32x4.extend_low_i16x8_u(eight);
        high = i32x4.extend_high_i16x8_u(eight);
        part01 = f64x2.add(part01, firstTwo(low, w));
        part23 = f64x2.add(part23, lastTwo(low, w));
        part45 = f64x2.add(part45, firstTwo(high, w));
        part67 = f64x2.add(part67, lastTwo(high, w));
      }
      sums01 = f64x2.add(sums01, part01);
      sums23 = f64x2.add(sums23, part23);
      sums45 = f64x2.add(sums45, part45);
      sums67 = f64x2.add(sums67, part67);
      at += together * stride;
      weight += 8 * together;
      left -= together;
    }
    const to = sums + 8 * sample;
    v128.store(to, sums01);
    v128.store(to, sums23, 16);
    v128.store(to, sums45, 32);
    v128.store(to, sums67, 48);
  }
}

/**
 * Adds up the columns of each output px, each times its weight.
 * @param sums a row of `mixRows`, three values a px
 * @param places output px
 * @param first px of the row at which each place begins, 32-bit; `count` px from there on
 * @param weights 64-bit floating point; those of a place begin at `place * perPlace`
 * @param outside what lies beyond the source adds to each place, 64-bit floating point
 * @param into 32-bit floating point, three values a place; one more is written
 */
export function mixColumns(
  sums: usize,
  places: usize,
  first: usize,
  count: usize,
  weights: usize,
  perPlace: usize,
  outside: usize,
  into: usize,
): void {
  for (let place: usize = 0; place < places; place++) {
    let redGreen = v128.load64_splat(outside + 8 * place);
    let blue = redGreen;
    let weight = weights + 8 * perPlace * place;
    let at = sums + 24 * <usize>load<i32>(first + 4 * place);
    for (let left = load<i32>(count + 4 * place); left > 0; left--) {
      const w = v128.load64_splat(weight);
      redGreen = f64x2.add(redGreen, f64x2.mul(w, v128.load(at)));
      blue = f64x2.add(blue, f64x2.mul(w, v128.load64_zero(at, 16)));
      weight += 8;
      at += 24;
    }
    v128.store(into + 12 * place, joined(redGreen, blue));
  }
}
