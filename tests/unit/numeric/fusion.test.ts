import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BoxTuple } from '../../../pipeline/numeric/boxes.ts';
import { fuseLooks } from '../../../pipeline/numeric/fusion.ts';

const coordinate = fc.integer({ min: 0, max: 80 });
const size = fc.integer({ min: 5, max: 40 });
const scored = fc.record({
  box: fc.tuple(coordinate, coordinate, size, size) as fc.Arbitrary<BoxTuple>,
  score: fc.integer({ min: 1, max: 100 }).map((value) => value / 100),
});
const looks = fc.array(fc.array(scored, { maxLength: 6 }), { minLength: 1, maxLength: 4 });

describe('fusing looks', () => {
  it('keeps every box within the hull of what was found and every score within its bounds', () => {
    fc.assert(
      fc.property(looks, (found) => {
        const all = found.flat();
        for (const { box, score } of fuseLooks(found, 0.4, 2)) {
          expect(score).toBeGreaterThan(0);
          expect(score).toBeLessThanOrEqual(Math.max(...all.map((item) => item.score)) + 1e-12);
          expect(box[0]).toBeGreaterThanOrEqual(Math.min(...all.map((item) => item.box[0])) - 1e-9);
          expect(box[0] + box[2]).toBeLessThanOrEqual(
            Math.max(...all.map((item) => item.box[0] + item.box[2])) + 1e-9,
          );
        }
      }),
    );
  });

  it('with one look and one witness changes nothing but the order', () => {
    fc.assert(
      fc.property(fc.array(scored, { maxLength: 8 }), (boxes) => {
        const fused = fuseLooks([boxes], 0.4, 1);
        expect(fused).toHaveLength(boxes.length);
        expect(fused.map(({ score }) => score)).toEqual(
          boxes.map(({ score }) => score).sort((a, b) => b - a),
        );
      }),
    );
  });

  it('never gives fewer clusters than the fullest look, since one look counts its people apart', () => {
    fc.assert(
      fc.property(looks, (found) => {
        const fullest = Math.max(...found.map((boxes) => boxes.length));
        expect(fuseLooks(found, 0.4, 2).length).toBeGreaterThanOrEqual(fullest);
      }),
    );
  });

  it('halves the score of what only one of the looks saw', () => {
    const box: BoxTuple = [10, 10, 20, 40];
    expect(fuseLooks([[{ box, score: 0.8 }], []], 0.4, 2)).toEqual([{ box, score: 0.4, seenBy: 1 }]);
    const both = fuseLooks([[{ box, score: 0.8 }], [{ box, score: 0.6 }]], 0.4, 2);
    expect(both).toHaveLength(1);
    expect(both[0]?.score).toBeCloseTo(0.7, 12);
    expect(both[0]?.seenBy).toBe(2);
  });

  it('misses no look that could not have seen it', () => {
    const box: BoxTuple = [10, 10, 20, 40];
    expect(fuseLooks([[{ box, score: 0.8 }], []], 0.4, 2, () => 1)).toEqual([{ box, score: 0.8, seenBy: 1 }]);
  });

  it('places the fused box by the weights of the scores', () => {
    const fused = fuseLooks(
      [[{ box: [0, 0, 30, 30], score: 0.6 }], [{ box: [3, 0, 30, 30], score: 0.3 }]],
      0.4,
      2,
    );
    // Worked by hand: (0.6 * 0 + 0.3 * 3) / 0.9 = 1.
    expect(fused[0]?.box[0]).toBeCloseTo(1, 12);
  });
});
