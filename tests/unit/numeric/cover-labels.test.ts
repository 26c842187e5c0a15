import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coverLabels } from '../../../pipeline/numeric/cover-labels.ts';
import { seededRandom } from '../../helpers/random.ts';

describe('labels of two masks', () => {
  it('say in which masks a cell lies, and how much lies in each', () => {
    const side = fc.integer({ min: 1, max: 40 });
    fc.assert(
      fc.property(side, side, fc.boolean(), fc.boolean(), fc.nat(), (columns, rows, first, second, seed) => {
        const random = seededRandom(seed);
        const mask = () => Uint8Array.from({ length: columns * rows }, () => 256 * random());
        const weights = (length: number) => Int32Array.from({ length }, () => 9 * random());
        const [one, other] = [first ? mask() : null, second ? mask() : null];
        const [columnsIn, rowsIn] = [weights(columns), weights(rows)];
        const found = coverLabels(one, other, 128, columnsIn, rowsIn);
        const sums = [0, 0];
        const expected = Array.from({ length: columns * rows }, (_, cell) => {
          const inside = [one, other].map((of) => of !== null && of[cell]! >= 128);
          const weight = columnsIn[cell % columns]! * rowsIn[Math.floor(cell / columns)]!;
          for (const index of [0, 1]) if (inside[index]) sums[index]! += weight;
          return (inside[0] ? 1 : 0) + (inside[1] ? 2 : 0);
        });
        expect([...found.labels]).toEqual(expected);
        expect(found.weights).toEqual(sums);
      }),
      { numRuns: 200 },
    );
  });
});
