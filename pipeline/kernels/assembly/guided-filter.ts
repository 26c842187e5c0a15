// The steps of numeric/guided-filter.ts between its means over windows. Planes are 32-bit floating point, row after row.

/**
 * Means of blocks of `step` x `step` cells; the blocks at the far edges may be smaller.
 * @param sums room for 64-bit floating point, one a block of a row
 */
export function blockMeans(plane: usize, columns: i32, rows: i32, step: i32, sums: usize, into: usize): void {
  const across = (columns + step - 1) / step;
  for (let top = 0; top < rows; top += step) {
    const bottom = min(rows, top + step);
    memory.fill(sums, 0, 8 * across);
    for (let y = top; y < bottom; y++) {
      let from = plane + <usize>(4 * y * columns);
      for (let column = 0, left = columns; column < across; column++, left -= step) {
        let sum: f64 = 0;
        for (let cells = min(step, left); cells > 0; cells--, from += 4) sum += load<f32>(from);
        const at = sums + <usize>(8 * column);
        store<f64>(at, load<f64>(at) + sum);
      }
    }
    for (let column = 0, left = columns; column < across; column++, left -= step, into += 4) {
      store<f32>(into, <f32>(load<f64>(sums + <usize>(8 * column)) / ((bottom - top) * min(step, left))));
    }
  }
}

/** Products cell by cell; up to three more are read and written. */
export function products(one: usize, other: usize, cells: i32, into: usize): void {
  for (const end = one + <usize>(4 * cells); one < end; one += 16, other += 16, into += 16) {
    v128.store(into, f32x4.mul(v128.load(one), v128.load(other)));
  }
}

/**
 * The line of each window, from means over it; up to one cell more is read and written.
 * @param guide mean of the guide
 * @param offset mean of the values, whose place the line's offset takes
 * @param slope mean of the guide times the values, whose place the line's slope takes
 * @param square mean of the guide's square
 * @param variance added to the guide's
 */
export function fitLines(
  guide: usize,
  offset: usize,
  slope: usize,
  square: usize,
  variance: f64,
  cells: i32,
): void {
  for (let at: usize = 0; at < <usize>(4 * cells); at += 8) {
    const g = f64x2.promote_low_f32x4(v128.load64_zero(guide + at));
    const v = f64x2.promote_low_f32x4(v128.load64_zero(offset + at));
    const gv = f64x2.promote_low_f32x4(v128.load64_zero(slope + at));
    const gg = f64x2.promote_low_f32x4(v128.load64_zero(square + at));
    const covariance = f64x2.sub(gv, f64x2.mul(g, v));
    const spread = f64x2.add(f64x2.sub(gg, f64x2.mul(g, g)), f64x2.splat(variance));
    const slopes = f32x4.demote_f64x2_zero(f64x2.div(covariance, spread));
    const offsets = f64x2.sub(v, f64x2.mul(f64x2.promote_low_f32x4(slopes), g));
    v128.store64_lane(slope + at, slopes, 0);
    v128.store64_lane(offset + at, f32x4.demote_f64x2_zero(offsets), 0);
  }
}

/** Slope and offset of one cell, in double precision. */
function lineAt(slope: usize, offset: usize, at: usize): v128 {
  return f64x2.promote_low_f32x4(v128.load32_lane(offset + at, v128.load32_zero(slope + at), 1));
}

function between(one: v128, other: v128, share: v128): v128 {
  return f64x2.add(one, f64x2.mul(share, f64x2.sub(other, one)));
}

/**
 * Takes the lines, read bilinearly between their cells, of the guide, whose place the result takes.
 * @param slope of the lines, `length` a row, and `offset`
 * @param above of each row of the guide, the row of lines before it, and `below` the one after it, 32-bit
 * @param part of the one below, 64-bit floating point
 * @param left of each column of the guide, the line before it, and `right` the one after it, 32-bit
 * @param share of the right one, 64-bit floating point
 * @param lines room for a row of pairs of 64-bit floating point
 */
export function applyLines(
  slope: usize,
  offset: usize,
  length: i32,
  above: usize,
  below: usize,
  part: usize,
  left: usize,
  right: usize,
  share: usize,
  lines: usize,
  guide: usize,
  columns: i32,
  rows: i32,
): void {
  for (let y = 0; y < rows; y++, above += 4, below += 4, part += 8) {
    const upper = <usize>(4 * length * load<i32>(above));
    const lower = <usize>(4 * length * load<i32>(below));
    const downwards = v128.load64_splat(part);
    for (let x: usize = 0; x < <usize>(4 * length); x += 4) {
      const line = between(lineAt(slope, offset, upper + x), lineAt(slope, offset, lower + x), downwards);
      v128.store(lines + 4 * x, line);
    }
    for (let x: usize = 0; x < <usize>(4 * columns); x += 4, guide += 4) {
      const before = v128.load(lines + <usize>(16 * load<i32>(left + x)));
      const after = v128.load(lines + <usize>(16 * load<i32>(right + x)));
      const line = between(before, after, v128.load64_splat(share + 2 * x));
      const value = f64x2.extract_lane(line, 0) * load<f32>(guide) + f64x2.extract_lane(line, 1);
      store<f32>(guide, <f32>value);
    }
  }
}
