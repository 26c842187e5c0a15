// Mean over a square window as in numeric/box-blur.ts: sums run along, in double precision.

import { firstTwo, joined, lastTwo } from './lanes';

/** One 32-bit number of each of two rows, in double precision. */
function ofTwoRows(one: usize, other: usize): v128 {
  return f64x2.promote_low_f32x4(v128.load32_lane(other, v128.load32_zero(one), 1));
}

/** Sums along the rows, four rows at a time; where fewer are left the last one is taken several times. */
function meansAcross(
  plane: usize,
  columns: i32,
  rows: i32,
  reach: i32,
  perColumn: usize,
  across: usize,
): void {
  const stride = <usize>(4 * columns);
  for (let row = 0; row < rows; row += 4) {
    const a = stride * row;
    const b = stride * min(row + 1, rows - 1);
    const c = stride * min(row + 2, rows - 1);
    const d = stride * min(row + 3, rows - 1);
    let sumsAB = f64x2.splat(0);
    let sumsCD = sumsAB;
    for (let x = -reach; x < columns; x++) {
      if (x + reach < columns) {
        const entering = plane + 4 * (x + reach);
        sumsAB = f64x2.add(sumsAB, ofTwoRows(entering + a, entering + b));
        sumsCD = f64x2.add(sumsCD, ofTwoRows(entering + c, entering + d));
      }
      if (x < 0) continue;
      if (x > reach) {
        const leaving = plane + 4 * (x - reach - 1);
        sumsAB = f64x2.sub(sumsAB, ofTwoRows(leaving + a, leaving + b));
        sumsCD = f64x2.sub(sumsCD, ofTwoRows(leaving + c, leaving + d));
      }
      const share = v128.load64_splat(perColumn + 8 * x);
      const meansAB = f32x4.demote_f64x2_zero(f64x2.mul(sumsAB, share));
      const meansCD = f32x4.demote_f64x2_zero(f64x2.mul(sumsCD, share));
      const to = across + 4 * x;
      v128.store32_lane(to + a, meansAB, 0);
      v128.store32_lane(to + b, meansAB, 1);
      v128.store32_lane(to + c, meansCD, 0);
      v128.store32_lane(to + d, meansCD, 1);
    }
  }
}

/**
 * Takes the mean of the window around every cell of a plane.
 * @param plane 32-bit floating point, row after row; the means take its place. Up to three numbers beyond it are written
 * @param reach cells to each side
 * @param perColumn of each column, and `perRow` of each row: one over how many of them its window holds, 64-bit floating point
 * @param across room of the size of the plane
 * @param sums room for a row of 64-bit floating point, with three more
 */
export function boxBlur(
  plane: usize,
  columns: i32,
  rows: i32,
  reach: i32,
  perColumn: usize,
  perRow: usize,
  across: usize,
  sums: usize,
): void {
  meansAcross(plane, columns, rows, reach, perColumn, across);
  const stride = <usize>(4 * columns);
  memory.fill(sums, 0, 2 * stride);
  for (let y = -reach; y < rows; y++) {
    const entering = y + reach < rows ? across + stride * (y + reach) : 0;
    const leaving = y > reach ? across + stride * (y - reach - 1) : 0;
    const share = y < 0 ? f64x2.splat(0) : v128.load64_splat(perRow + 8 * y);
    for (let x: usize = 0; x < stride; x += 16) {
      const at = sums + 2 * x;
      let sums01 = v128.load(at);
      let sums23 = v128.load(at, 16);
      if (entering !== 0) {
        const numbers = v128.load(entering + x);
        sums01 = f64x2.add(sums01, firstTwo(numbers));
        sums23 = f64x2.add(sums23, lastTwo(numbers));
      }
      if (leaving !== 0) {
        const numbers = v128.load(leaving + x);
        sums01 = f64x2.sub(sums01, firstTwo(numbers));
        sums23 = f64x2.sub(sums23, lastTwo(numbers));
      }
      v128.store(at, sums01);
      v128.store(at, sums23, 16);
      if (y < 0) continue;
      v128.store(plane + stride * y + x, joined(f64x2.mul(sums01, share), f64x2.mul(sums23, share)));
    }
  }
}
