import { boxBlur } from './box-blur.ts';

/** One value a cell, row after row. */
export interface Plane {
  readonly columns: number;
  readonly rows: number;
  readonly data: Float32Array;
}

/** Means of blocks of `step` x `step` cells; blocks at the far edges may be smaller. */
function reduce({ columns, rows, data }: Plane, step: number): Plane {
  if (step === 1) return { columns, rows, data };
  const across = Math.ceil(columns / step);
  const down = Math.ceil(rows / step);
  const sums = new Float32Array(across * down);
  for (let y = 0; y < rows; y++) {
    const to = Math.floor(y / step) * across;
    for (let x = 0; x < columns; x++) sums[to + Math.floor(x / step)]! += data[y * columns + x]!;
  }
  for (let y = 0; y < down; y++) {
    for (let x = 0; x < across; x++) {
      const cells = Math.min(step, rows - y * step) * Math.min(step, columns - x * step);
      sums[y * across + x]! /= cells;
    }
  }
  return { columns: across, rows: down, data: sums };
}

/** The opposite of {@link reduce}: read bilinearly at the middle of every cell of the size given. */
function enlarge(
  plane: Plane,
  step: number,
  { columns, rows }: Pick<Plane, 'columns' | 'rows'>,
): Float32Array {
  if (step === 1) return plane.data;
  const result = new Float32Array(columns * rows);
  const row = new Float32Array(plane.columns);
  const place = (index: number, count: number) =>
    Math.min(count - 1, Math.max(0, (index + 0.5) / step - 0.5));
  for (let y = 0; y < rows; y++) {
    const v = place(y, plane.rows);
    const above = Math.floor(v) * plane.columns;
    const below = Math.min(plane.rows - 1, Math.floor(v) + 1) * plane.columns;
    const down = v - Math.floor(v);
    for (let x = 0; x < row.length; x++) {
      row[x] = plane.data[above + x]! * (1 - down) + plane.data[below + x]! * down;
    }
    for (let x = 0; x < columns; x++) {
      const u = place(x, plane.columns);
      const left = Math.floor(u);
      const across = u - left;
      const right = Math.min(plane.columns - 1, left + 1);
      result[y * columns + x] = row[left]! * (1 - across) + row[right]! * across;
    }
  }
  return result;
}

/** Slope and offset of the mean line of the windows that each cell lies in. */
function meanLines(guide: Plane, values: Plane, reach: number, variance: number) {
  const { columns, rows } = guide;
  const mean = (of: Float32Array) => boxBlur(of, columns, rows, reach);
  const product = (a: Float32Array, b: Float32Array) => {
    const result = new Float32Array(a.length);
    for (let at = 0; at < result.length; at++) result[at] = a[at]! * b[at]!;
    return result;
  };
  const meanGuide = mean(guide.data);
  const offset = mean(values.data);
  const slope = mean(product(guide.data, values.data));
  const spread = mean(product(guide.data, guide.data));
  for (let at = 0; at < slope.length; at++) {
    const covariance = slope[at]! - meanGuide[at]! * offset[at]!;
    slope[at] = covariance / (spread[at]! - meanGuide[at]! ** 2 + variance);
    offset[at]! -= slope[at]! * meanGuide[at]!;
  }
  return { slope: mean(slope), offset: mean(offset) };
}

/**
 * Smooths `values` and moves their edges onto those of `guide`: in every window `values` is fitted as a straight line of `guide`,
 * and each cell takes the mean of the lines of the windows it lies in.
 *
 * He, Sun, Tang, "Guided Image Filtering", PAMI 35 (2013), equations 5, 6 and 8, with a grey guide; the lines are found on planes
 * reduced by `step` and read bilinearly, as in He and Sun, "Fast Guided Filter", arXiv:1505.00996.
 *
 * @param guide 0..1
 * @param values of the same size, any unit; the result has the same and may reach a little beyond their range
 * @param reach cells to each side of a window, a multiple of `step` or about
 * @param variance of the guide below which a window counts as flat (epsilon of the paper), in squared units of the guide
 * @param step 1 is the filter of the first paper
 */
export function guidedFilter(
  guide: Plane,
  values: Plane,
  reach: number,
  variance: number,
  step = 1,
): Float32Array {
  const coarse = reduce(guide, step);
  const lines = meanLines(coarse, reduce(values, step), Math.max(1, Math.round(reach / step)), variance);
  const slope = enlarge({ ...coarse, data: lines.slope }, step, guide);
  const offset = enlarge({ ...coarse, data: lines.offset }, step, guide);
  for (let at = 0; at < slope.length; at++) slope[at] = slope[at]! * guide.data[at]! + offset[at]!;
  return slope;
}
