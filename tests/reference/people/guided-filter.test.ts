import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { guidedFilter, reducedCells } from '../../../pipeline/numeric/guided-filter.ts';

const columns = 9;
const rows = 7;

/** Cells of the window around one cell, cut at the edges. */
function windowOf(at: number, reach: number): number[] {
  const [x, y] = [at % columns, Math.floor(at / columns)];
  return Array.from({ length: columns * rows }, (_, other) => other).filter(
    (other) => Math.abs((other % columns) - x) <= reach && Math.abs(Math.floor(other / columns) - y) <= reach,
  );
}

/** The paper's own words, window by window: a ridge regression in each (equations 5 and 6), then the mean of the lines (8). */
function byDefinition(guide: Float32Array, values: Float32Array, reach: number, variance: number): number[] {
  const lines = Array.from(guide, (_, centre) => {
    const cells = windowOf(centre, reach);
    const mean = (of: (cell: number) => number) =>
      cells.reduce((sum, cell) => sum + of(cell), 0) / cells.length;
    const [meanGuide, meanValue] = [mean((cell) => guide[cell]!), mean((cell) => values[cell]!)];
    const covariance = mean((cell) => (guide[cell]! - meanGuide) * (values[cell]! - meanValue));
    const slope = covariance / (mean((cell) => (guide[cell]! - meanGuide) ** 2) + variance);
    return { slope, offset: meanValue - slope * meanGuide };
  });
  return Array.from(guide, (here, at) => {
    const cells = windowOf(at, reach);
    return (
      cells.reduce((sum, cell) => sum + lines[cell]!.slope * here + lines[cell]!.offset, 0) / cells.length
    );
  });
}

const filtered = (guide: Float32Array, values: Float32Array, reach: number, variance: number, step = 1) =>
  guidedFilter(
    { columns, rows, data: guide },
    { columns: reducedCells(columns, step), rows: reducedCells(rows, step), data: values },
    reach,
    variance,
    step,
  );

const plane = fc
  .array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: columns * rows, maxLength: columns * rows })
  .map((values) => Float32Array.from(values));

describe('guided filter (He, Sun, Tang, PAMI 2013)', () => {
  it('is the mean of the ridge regressions of the windows', () => {
    fc.assert(
      fc.property(plane, plane, fc.integer({ min: 1, max: 4 }), (guide, values, reach) => {
        const expected = byDefinition(guide, values, reach, 0.01);
        filtered(guide, values, reach, 0.01).forEach((value, at) => {
          expect(value).toBeCloseTo(expected[at]!, 3);
        });
      }),
      { numRuns: 30 },
    );
  });

  it('moves an edge of the values onto the edge of the guide near by', () => {
    const stripe = (edge: number) =>
      Float32Array.from({ length: columns * rows }, (_, at) => (at % columns < edge ? 0 : 1));
    const row = filtered(stripe(5), stripe(4), 2, 1e-4).subarray(0, columns);
    const steps = Array.from(row.subarray(1), (value, x) => value - row[x]!);
    expect(steps.indexOf(Math.max(...steps))).toBe(4);
  });

  it('keeps a plain value, also on reduced planes', () => {
    fc.assert(
      fc.property(plane, fc.integer({ min: 1, max: 4 }), (guide, step) => {
        const plain = new Float32Array(reducedCells(columns, step) * reducedCells(rows, step)).fill(0.3);
        for (const value of filtered(guide, plain, 2, 1e-3, step)) expect(value).toBeCloseTo(0.3, 4);
      }),
      { numRuns: 30 },
    );
  });
});
