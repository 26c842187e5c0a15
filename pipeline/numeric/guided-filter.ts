import { boxBlur } from './box-blur.ts';

/**
 * Smooths `values` and moves their edges onto those of `guide`: in every window `values` is fitted as a straight line of `guide`,
 * and each cell takes the mean of the lines of the windows it lies in.
 *
 * He, Sun, Tang, "Guided Image Filtering", PAMI 35 (2013), equations 5, 6 and 8, with a grey guide.
 *
 * @param guide row after row, `columns` x `rows`, 0..1
 * @param values the same size, any unit; the result has the same and may reach a little beyond their range
 * @param reach cells to each side of a window
 * @param variance of the guide below which a window counts as flat (epsilon of the paper), in squared units of the guide
 */
export function guidedFilter(
  guide: Float32Array,
  values: Float32Array,
  columns: number,
  rows: number,
  reach: number,
  variance: number,
): Float32Array {
  const mean = (of: Float32Array) => boxBlur(of, columns, rows, reach);
  const product = (a: Float32Array, b: Float32Array) => a.map((value, at) => value * b[at]!);
  const meanGuide = mean(guide);
  const meanValues = mean(values);
  const slope = mean(product(guide, values));
  const spread = mean(product(guide, guide));
  for (let at = 0; at < slope.length; at++) {
    const covariance = slope[at]! - meanGuide[at]! * meanValues[at]!;
    slope[at] = covariance / (spread[at]! - meanGuide[at]! ** 2 + variance);
  }
  const offset = meanValues.map((value, at) => value - slope[at]! * meanGuide[at]!);
  const meanSlope = mean(slope);
  return mean(offset).map((value, at) => meanSlope[at]! * guide[at]! + value);
}
