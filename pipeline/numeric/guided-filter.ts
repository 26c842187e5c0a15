import { bilinearPlaces } from './bilinear-places.ts';
import { boxBlur } from './box-blur.ts';

/** One value a cell, row after row. */
export interface Plane {
  readonly columns: number;
  readonly rows: number;
  readonly data: Float32Array;
}

/** Cells of a plane reduced by `step`: the blocks at the far edges may be smaller. */
export const reducedCells = (cells: number, step: number): number => Math.ceil(cells / step);

/** Means of blocks of `step` x `step` cells. */
function reduce({ columns, rows, data }: Plane, step: number): Plane {
  if (step === 1) return { columns, rows, data };
  const across = reducedCells(columns, step);
  const down = reducedCells(rows, step);
  const means = new Float32Array(across * down);
  const sums = new Float64Array(across);
  for (let row = 0; row < down; row++) {
    const bottom = Math.min(rows, (row + 1) * step);
    sums.fill(0);
    for (let y = row * step; y < bottom; y++) {
      for (let column = 0, x = 0; column < across; column++) {
        let sum = 0;
        for (const right = Math.min(columns, x + step); x < right; x++) sum += data[y * columns + x]!;
        sums[column]! += sum;
      }
    }
    for (let column = 0; column < across; column++) {
      const cells = (bottom - row * step) * (Math.min(columns, (column + 1) * step) - column * step);
      means[row * across + column] = sums[column]! / cells;
    }
  }
  return { columns: across, rows: down, data: means };
}

interface Lines {
  readonly slope: Float32Array;
  readonly offset: Float32Array;
}

/** The lines, which lie on a plane reduced by `step`, read bilinearly at every cell of the guide and taken of its value. */
function applyLines({ slope, offset }: Lines, { columns, rows, data }: Plane, step: number): Float32Array {
  const result = new Float32Array(columns * rows);
  const length = reducedCells(columns, step);
  const across = bilinearPlaces(columns, length, 0, step, 1);
  const down = bilinearPlaces(rows, reducedCells(rows, step), 0, step, 1);
  const slopes = new Float64Array(length);
  const offsets = new Float64Array(length);
  for (let y = 0; y < rows; y++) {
    const [above, below, part] = [down.before[y]! * length, down.next[y]! * length, down.share[y]!];
    for (let x = 0; x < length; x++) {
      slopes[x] = slope[above + x]! + part * (slope[below + x]! - slope[above + x]!);
      offsets[x] = offset[above + x]! + part * (offset[below + x]! - offset[above + x]!);
    }
    for (let x = 0, at = y * columns; x < columns; x++, at++) {
      const [left, right, share] = [across.before[x]!, across.next[x]!, across.share[x]!];
      const a = slopes[left]! + share * (slopes[right]! - slopes[left]!);
      const b = offsets[left]! + share * (offsets[right]! - offsets[left]!);
      result[at] = a * data[at]! + b;
    }
  }
  return result;
}

/** Slope and offset of the mean line of the windows that each cell lies in. */
function meanLines(guide: Plane, values: Plane, reach: number, variance: number): Lines {
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
 * @param guide any unit
 * @param values on the guide's plane reduced by `step`: `reducedCells` wide and high, each the mean of its block. Any unit; the result
 *   has the same and may reach a little beyond their range
 * @param reach cells of the guide to each side of a window, a multiple of `step` or about
 * @param variance of the guide below which a window counts as flat (epsilon of the paper), in squared units of the guide
 * @param step 1 is the filter of the first paper
 * @returns one value a cell of the guide
 */
export function guidedFilter(
  guide: Plane,
  values: Plane,
  reach: number,
  variance: number,
  step = 1,
): Float32Array {
  const coarseReach = Math.max(1, Math.round(reach / step));
  return applyLines(meanLines(reduce(guide, step), values, coarseReach, variance), guide, step);
}
