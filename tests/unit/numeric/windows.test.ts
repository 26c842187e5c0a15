import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boxBlur } from '../../../pipeline/numeric/box-blur.ts';
import { dilateSquare } from '../../../pipeline/numeric/dilate.ts';

const grids = fc
  .record({
    columns: fc.integer({ min: 1, max: 9 }),
    rows: fc.integer({ min: 1, max: 9 }),
    reach: fc.integer({ min: 0, max: 4 }),
  })
  .chain((size) =>
    fc.record({
      ...Object.fromEntries(Object.entries(size).map(([key, number]) => [key, fc.constant(number)])),
      cells: fc.array(fc.integer({ min: 0, max: 3 }), {
        minLength: size.columns * size.rows,
        maxLength: size.columns * size.rows,
      }),
    } as {
      columns: fc.Arbitrary<number>;
      rows: fc.Arbitrary<number>;
      reach: fc.Arbitrary<number>;
      cells: fc.Arbitrary<number[]>;
    }),
  );

/** The slow way: every cell of the window, looked up. */
function windowAt(
  cells: readonly number[],
  columns: number,
  rows: number,
  reach: number,
  x: number,
  y: number,
): number[] {
  const found: number[] = [];
  for (let v = Math.max(0, y - reach); v <= Math.min(rows - 1, y + reach); v++) {
    for (let u = Math.max(0, x - reach); u <= Math.min(columns - 1, x + reach); u++)
      found.push(cells[v * columns + u]!);
  }
  return found;
}

describe('square windows', () => {
  it('blur to the mean of the window', () => {
    fc.assert(
      fc.property(grids, ({ columns, rows, reach, cells }) => {
        const result = Float32Array.from(cells);
        boxBlur(result, columns, rows, reach);
        for (let cell = 0; cell < cells.length; cell++) {
          const window = windowAt(cells, columns, rows, reach, cell % columns, Math.floor(cell / columns));
          expect(result[cell]).toBeCloseTo(window.reduce((sum, value) => sum + value, 0) / window.length, 5);
        }
      }),
    );
  });

  it('dilate to whether the window holds a mark', () => {
    fc.assert(
      fc.property(grids, ({ columns, rows, reach, cells }) => {
        const marked = cells.map((value) => (value === 3 ? 1 : 0));
        const result = dilateSquare(Uint8Array.from(marked), columns, rows, reach);
        for (let cell = 0; cell < cells.length; cell++) {
          const window = windowAt(marked, columns, rows, reach, cell % columns, Math.floor(cell / columns));
          expect(result[cell]).toBe(window.includes(1) ? 1 : 0);
        }
      }),
    );
  });
});
