// The two passes of numeric/resample.ts over one output row. Sums run in double precision and in a fixed order.

/** Four bytes as 32-bit numbers. */
function bytes(at: usize): v128 {
  return i32x4.extend_low_i16x8_u(i16x8.extend_low_i8x16_u(v128.load32_zero(at)));
}

/** The first two of four 32-bit numbers times a weight. */
function firstTwo(numbers: v128, weight: v128): v128 {
  return f64x2.mul(weight, f64x2.convert_low_i32x4_u(numbers));
}

/** The last two of four 32-bit numbers times a weight. */
function lastTwo(numbers: v128, weight: v128): v128 {
  return f64x2.mul(weight, f64x2.convert_low_i32x4_u(i64x2.shuffle(numbers, numbers, 1, 1)));
}

/**
 * Adds up source rows, each times its weight.
 * @param source first sample of the first row, bytes; rows follow every `stride` bytes
 * @param weights of the rows, 64-bit floating point
 * @param outside what lies beyond the source adds to every sample
 * @param samples of a row; up to three more are written
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
  for (let sample: usize = 0; sample < samples; sample += 4) {
    let low = f64x2.splat(outside);
    let high = low;
    let at = source + sample;
    let weight = weights;
    let left = rows;
    for (; left >= 4; left -= 4) {
      const a = v128.load64_splat(weight, 0);
      const b = v128.load64_splat(weight, 8);
      const c = v128.load64_splat(weight, 16);
      const d = v128.load64_splat(weight, 24);
      const rowA = bytes(at);
      const rowB = bytes(at + stride);
      const rowC = bytes(at + 2 * stride);
      const rowD = bytes(at + 3 * stride);
      const lowAb = f64x2.add(firstTwo(rowA, a), firstTwo(rowB, b));
      const highAb = f64x2.add(lastTwo(rowA, a), lastTwo(rowB, b));
      low = f64x2.add(low, f64x2.add(f64x2.add(lowAb, firstTwo(rowC, c)), firstTwo(rowD, d)));
      high = f64x2.add(high, f64x2.add(f64x2.add(highAb, lastTwo(rowC, c)), lastTwo(rowD, d)));
      at += 4 * stride;
      weight += 32;
    }
    if (left >= 2) {
      const a = v128.load64_splat(weight, 0);
      const b = v128.load64_splat(weight, 8);
      const rowA = bytes(at);
      const rowB = bytes(at + stride);
      low = f64x2.add(low, f64x2.add(firstTwo(rowA, a), firstTwo(rowB, b)));
      high = f64x2.add(high, f64x2.add(lastTwo(rowA, a), lastTwo(rowB, b)));
      at += 2 * stride;
      weight += 16;
      left -= 2;
    }
    if (left === 1) {
      const a = v128.load64_splat(weight, 0);
      const rowA = bytes(at);
      low = f64x2.add(low, firstTwo(rowA, a));
      high = f64x2.add(high, lastTwo(rowA, a));
    }
    v128.store(sums + 8 * sample, low);
    v128.store(sums + 8 * sample, high, 16);
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
    const values = i64x2.shuffle(f32x4.demote_f64x2_zero(redGreen), f32x4.demote_f64x2_zero(blue), 0, 2);
    v128.store(into + 12 * place, values);
  }
}
