// What the kernels work out against the same sums in plain loops, to the last bit. What the filter is: tests/reference/people.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boxBlur } from '../../../pipeline/numeric/box-blur.ts';
import { guidedFilter } from '../../../pipeline/numeric/guided-filter.ts';
import { seededRandom } from '../../helpers/random.ts';

const { fround } = Math;

/** Means over windows of one line of cells: a sum that runs along in double precision, times one over the cells of the window. */
function meansAlong(line: readonly number[], reach: number): number[] {
  let sum = 0;
  for (const value of line.slice(0, reach)) sum += value;
  return line.map((_, at) => {
    sum += line[at + reach] ?? 0;
    if (at > reach) sum -= line[at - reach - 1]!;
    return fround(sum * (1 / (Math.min(line.length - 1, at + reach) - Math.max(0, at - reach) + 1)));
  });
}

const turned = (rows: number[][]): number[][] => rows[0]!.map((_, x) => rows.map((row) => row[x]!));
const inRows = (cells: ArrayLike<number>, columns: number): number[][] =>
  Array.from({ length: cells.length / columns }, (_, y) =>
    Array.from({ length: columns }, (_, x) => cells[y * columns + x]!),
  );
const windowMeans = (rows: number[][], reach: number): number[][] =>
  turned(turned(rows.map((row) => meansAlong(row, reach))).map((column) => meansAlong(column, reach)));

function blockMeans(rows: number[][], step: number): number[][] {
  const starts = (length: number) => Array.from({ length: Math.ceil(length / step) }, (_, at) => at * step);
  return starts(rows.length).map((y) =>
    starts(rows[0]!.length).map((x) => {
      const block = rows.slice(y, y + step).map((row) => row.slice(x, x + step));
      const sum = block.map((row) => row.reduce((a, b) => a + b)).reduce((a, b) => a + b);
      return fround(sum / (block.length * block[0]!.length));
    }),
  );
}

/** Between the two cells of `line` next to the middle of place `at`, where a cell is `step` places long. */
function between(line: readonly number[], at: number, step: number): number {
  const place = Math.min(line.length - 1, Math.max(0, (at + 0.5) / step - 0.5));
  const before = Math.floor(place);
  const next = Math.min(line.length - 1, before + 1);
  return line[before]! + (place - before) * (line[next]! - line[before]!);
}

function plainFilter(guide: number[][], values: number[][], reach: number, variance: number, step: number) {
  const coarse = blockMeans(guide, step);
  const of = (value: (guide: number, value: number) => number) =>
    windowMeans(
      coarse.map((row, y) => row.map((cell, x) => fround(value(cell, values[y]![x]!)))),
      Math.max(1, Math.round(reach / step)),
    );
  const [g, v, gv, gg] = [of((a) => a), of((_, b) => b), of((a, b) => a * b), of((a) => a * a)];
  const slope = g.map((row, y) =>
    row.map((mean, x) => fround((gv[y]![x]! - mean * v[y]![x]!) / (gg[y]![x]! - mean * mean + variance))),
  );
  const offset = g.map((row, y) => row.map((mean, x) => fround(v[y]![x]! - slope[y]![x]! * mean)));
  const [slopes, offsets] = [slope, offset].map((lines) =>
    windowMeans(lines, Math.max(1, Math.round(reach / step))),
  );
  const read = (lines: number[][], x: number, y: number) =>
    between(
      turned(lines).map((column) => between(column, y, step)),
      x,
      step,
    );
  return guide.map((row, y) =>
    row.map((cell, x) => fround(read(slopes!, x, y) * cell + read(offsets!, x, y))),
  );
}

const sizes = fc.record({
  columns: fc.integer({ min: 1, max: 23 }),
  rows: fc.integer({ min: 1, max: 23 }),
  reach: fc.integer({ min: 0, max: 7 }),
  seed: fc.nat(),
});

function noise(cells: number, scale: number, seed: number): Float32Array {
  const random = seededRandom(seed);
  return Float32Array.from({ length: cells }, () => scale * random());
}

describe('the kernels of the guided filter', () => {
  it('blur as a plain loop does', () => {
    fc.assert(
      fc.property(sizes, ({ columns, rows, reach, seed }) => {
        const plane = noise(columns * rows, 255, seed);
        const expected = windowMeans(inRows(plane, columns), reach).flat();
        boxBlur(plane, columns, rows, reach);
        expect([...plane]).toEqual(expected);
      }),
      { numRuns: 300 },
    );
  });

  it('filter as plain loops do', () => {
    fc.assert(
      fc.property(sizes, fc.integer({ min: 1, max: 4 }), ({ columns, rows, reach, seed }, step) => {
        const guide = { columns, rows, data: noise(columns * rows, 255, seed) };
        const [across, down] = [Math.ceil(columns / step), Math.ceil(rows / step)];
        const values = { columns: across, rows: down, data: noise(across * down, 1, seed + 1) };
        const expected = plainFilter(
          inRows(guide.data, columns),
          inRows(values.data, across),
          reach,
          65,
          step,
        ).flat();
        expect([...guidedFilter(guide, values, reach, 65, step)]).toEqual(expected);
      }),
      { numRuns: 200 },
    );
  });
});
