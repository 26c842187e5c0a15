// Two masks on one grid joined into labels, as in numeric/cover-labels.ts.

/** The sum of four 32-bit whole numbers. */
function sumOf(four: v128): i32 {
  return (
    i32x4.extract_lane(four, 0) +
    i32x4.extract_lane(four, 1) +
    i32x4.extract_lane(four, 2) +
    i32x4.extract_lane(four, 3)
  );
}

/**
 * Labels every cell: 1 where the first mask reaches `least`, 2 where the second does, 3 where both do.
 * @param one coverage, a byte a cell, row after row; up to 15 more are read, and `other`
 * @param columnsIn weight of each column, 32-bit, and 0 for three more; and of each row, `rowsIn`
 * @param labels a byte a cell; up to 15 more are written
 * @param weights of the cells in the first and in the second mask, two numbers of 64-bit floating point
 */
export function labelCells(
  one: usize,
  other: usize,
  least: u8,
  columns: i32,
  rows: i32,
  columnsIn: usize,
  rowsIn: usize,
  labels: usize,
  weights: usize,
): void {
  const cells = <usize>(columns * rows);
  const limit = i8x16.splat(least);
  for (let cell: usize = 0; cell < cells; cell += 16) {
    const first = v128.and(i8x16.ge_u(v128.load(one + cell), limit), i8x16.splat(1));
    const second = v128.and(i8x16.ge_u(v128.load(other + cell), limit), i8x16.splat(2));
    v128.store(labels + cell, v128.or(first, second));
  }
  let firstWeight: f64 = 0;
  let secondWeight: f64 = 0;
  for (let row = 0; row < rows; row++, rowsIn += 4) {
    const start = labels + <usize>(row * columns);
    let first = i32x4.splat(0);
    let second = first;
    for (let column: usize = 0; column < <usize>columns; column += 4) {
      const four = i32x4.extend_low_i16x8_u(i16x8.extend_low_i8x16_u(v128.load32_zero(start + column)));
      const weight = v128.load(columnsIn + (column << 2));
      first = i32x4.add(first, i32x4.mul(weight, v128.and(four, i32x4.splat(1))));
      second = i32x4.add(second, i32x4.mul(weight, i32x4.shr_u(four, 1)));
    }
    firstWeight += <f64>sumOf(first) * load<i32>(rowsIn);
    secondWeight += <f64>sumOf(second) * load<i32>(rowsIn);
  }
  store<f64>(weights, firstWeight);
  store<f64>(weights, secondWeight, 8);
}
