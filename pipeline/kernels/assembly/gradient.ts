// The two passes of numeric/gradient.ts over one plane: sums run in double precision and in a fixed order, what is kept has 32 bits.

import { firstTwo, joined, lastTwo } from './lanes';

/** Samples that either derivative reaches to each side. */
const reach: usize = 2;

/** [1 4 6 4 1] / 16. */
function binomial(a: v128, b: v128, centre: v128, c: v128, d: v128): v128 {
  const outer = f64x2.add(f64x2.add(a, d), f64x2.mul(f64x2.splat(4), f64x2.add(b, c)));
  return f64x2.mul(f64x2.add(outer, f64x2.mul(f64x2.splat(6), centre)), f64x2.splat(1 / 16));
}

/** [-1 -2 0 2 1] / 8. */
function slope(a: v128, b: v128, c: v128, d: v128): v128 {
  const inner = f64x2.mul(f64x2.splat(2), f64x2.sub(c, b));
  return f64x2.mul(f64x2.add(f64x2.sub(d, a), inner), f64x2.splat(1 / 8));
}

/**
 * One row of both derivatives and of the sum of their squares.
 * @param plane first sample in the row, 32-bit floating point; as far as `reach` rows above and below and to each side is read
 * @param stride bytes from row to row
 * @param count samples; up to three more are written
 * @param rows room for two rows of `count + 4` samples and three more
 * @param rowBytes bytes of one of those
 */
export function gradientRow(
  plane: usize,
  stride: usize,
  count: usize,
  rows: usize,
  rowBytes: usize,
  across: usize,
  down: usize,
  square: usize,
): void {
  const first = plane - 4 * reach;
  for (let x: usize = 0; x < 4 * (count + 2 * reach); x += 16) {
    const at = first + x;
    const a = v128.load(at - 2 * stride);
    const b = v128.load(at - stride);
    const centre = v128.load(at);
    const c = v128.load(at + stride);
    const d = v128.load(at + 2 * stride);
    const a0 = firstTwo(a),
      b0 = firstTwo(b),
      c0 = firstTwo(c),
      d0 = firstTwo(d);
    const a1 = lastTwo(a),
      b1 = lastTwo(b),
      c1 = lastTwo(c),
      d1 = lastTwo(d);
    const smoothed = joined(
      binomial(a0, b0, firstTwo(centre), c0, d0),
      binomial(a1, b1, lastTwo(centre), c1, d1),
    );
    v128.store(rows + x, smoothed);
    v128.store(rows + rowBytes + x, joined(slope(a0, b0, c0, d0), slope(a1, b1, c1, d1)));
  }
  for (let x: usize = 0; x < 4 * count; x += 16) {
    const s = rows + x;
    const s0 = v128.load(s),
      s1 = v128.load(s, 4),
      s3 = v128.load(s, 12),
      s4 = v128.load(s, 16);
    const dx0 = slope(firstTwo(s0), firstTwo(s1), firstTwo(s3), firstTwo(s4));
    const dx1 = slope(lastTwo(s0), lastTwo(s1), lastTwo(s3), lastTwo(s4));
    const t = s + rowBytes;
    const t0 = v128.load(t),
      t1 = v128.load(t, 4),
      t2 = v128.load(t, 8),
      t3 = v128.load(t, 12),
      t4 = v128.load(t, 16);
    const dy0 = binomial(firstTwo(t0), firstTwo(t1), firstTwo(t2), firstTwo(t3), firstTwo(t4));
    const dy1 = binomial(lastTwo(t0), lastTwo(t1), lastTwo(t2), lastTwo(t3), lastTwo(t4));
    v128.store(across + x, joined(dx0, dx1));
    v128.store(down + x, joined(dy0, dy1));
    const square0 = f64x2.add(f64x2.mul(dx0, dx0), f64x2.mul(dy0, dy0));
    const square1 = f64x2.add(f64x2.mul(dx1, dx1), f64x2.mul(dy1, dy1));
    v128.store(square + x, joined(square0, square1));
  }
}

/** tan(22.5 degrees): the normal is nearer to an axis than to a diagonal below this ratio of its components. */
const halfDiagonal: f64 = 0.41421356237309515;

/**
 * Samples of one row whose square is at least `least` and a maximum among the neighbours along the gradient.
 * @param index number of the first sample of the row; `width` from row to row
 * @param count samples; up to three more are read, not taken
 * @param found gets their numbers, 32-bit
 * @returns how many.
 */
export function maximaOfRow(
  across: usize,
  down: usize,
  square: usize,
  width: i32,
  index: i32,
  count: i32,
  least: f64,
  found: usize,
): i32 {
  let taken = 0;
  // Rounded: what passes is looked at exactly.
  const about = f32x4.splat(<f32>(least * (1 - 1e-6)));
  for (let group = 0; group < count; group += 4) {
    let passing = i32x4.bitmask(f32x4.ge(v128.load(square + 4 * group), about));
    for (; passing !== 0; passing &= passing - 1) {
      const x = group + ctz(passing);
      if (x >= count) break;
      const here = square + 4 * x;
      const m = load<f32>(here);
      if (<f64>m < least) continue;
      const dx = <f64>load<f32>(across + 4 * x);
      const dy = <f64>load<f32>(down + 4 * x);
      const ax = abs(dx);
      const ay = abs(dy);
      let next = width;
      if (ay < halfDiagonal * ax) next = 1;
      else if (!(ax < halfDiagonal * ay)) next += dx > 0 === dy > 0 ? 1 : -1;
      // Strict on one side only: of two equal neighbours exactly one is kept.
      if (m >= load<f32>(here + 4 * next) && m > load<f32>(here - 4 * next)) {
        store<i32>(found + 4 * taken++, index + x);
      }
    }
  }
  return taken;
}
