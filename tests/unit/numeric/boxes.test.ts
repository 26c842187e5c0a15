import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type BoxTuple,
  boxArea,
  clipBox,
  growBox,
  intersectionOverUnion,
  shareInside,
  unionBox,
} from '../../../pipeline/numeric/boxes.ts';
import { pairBoxes } from '../../../pipeline/numeric/matching.ts';
import { suppress } from '../../../pipeline/numeric/suppression.ts';

const coordinate = fc.integer({ min: -50, max: 50 });
const size = fc.integer({ min: 1, max: 60 });
const box: fc.Arbitrary<BoxTuple> = fc.tuple(coordinate, coordinate, size, size);
const scored = fc.record({ box, score: fc.integer({ min: 0, max: 100 }) });

describe('intersection over union', () => {
  it('is symmetric, between 0 and 1, and 1 only for equal boxes', () => {
    fc.assert(
      fc.property(box, box, (a, b) => {
        const iou = intersectionOverUnion(a, b);
        expect(iou).toBe(intersectionOverUnion(b, a));
        expect(iou).toBeGreaterThanOrEqual(0);
        expect(iou).toBeLessThanOrEqual(1);
        expect(iou === 1).toBe(a.every((value, i) => value === b[i]));
      }),
    );
  });

  it('does not change when both boxes are moved or enlarged together', () => {
    fc.assert(
      fc.property(box, box, coordinate, size, (a, b, shift, scale) => {
        const change = ([x, y, w, h]: BoxTuple): BoxTuple => [
          x * scale + shift,
          y * scale + shift,
          w * scale,
          h * scale,
        ];
        expect(intersectionOverUnion(change(a), change(b))).toBeCloseTo(intersectionOverUnion(a, b), 10);
      }),
    );
  });

  it('is 0 for two empty boxes', () => {
    expect(intersectionOverUnion([1, 1, 0, 0], [1, 1, 0, 0])).toBe(0);
  });
});

describe('other box laws', () => {
  it('a union holds both boxes, a clipped box lies inside the frame', () => {
    fc.assert(
      fc.property(box, box, (a, b) => {
        const both = unionBox(a, b);
        expect(shareInside(a, both)).toBe(1);
        expect(shareInside(b, both)).toBe(1);
        const clipped = clipBox(a, 30, 20);
        if (boxArea(clipped) > 0) {
          expect(shareInside(clipped, [0, 0, 30, 20])).toBe(1);
          expect(shareInside(clipped, a)).toBe(1);
        }
      }),
    );
  });

  it('growing keeps the centre', () => {
    expect(growBox([10, 20, 10, 40], 0.5)).toEqual([5, 0, 20, 80]);
  });
});

describe('suppression', () => {
  it('keeps a subset in which no two boxes overlap more than asked, and every box that went overlaps a better one', () => {
    fc.assert(
      fc.property(fc.array(scored, { maxLength: 12 }), (boxes) => {
        const kept = suppress(boxes, 0.5);
        for (const a of kept) {
          expect(boxes).toContain(a);
          for (const b of kept) {
            if (a !== b) expect(intersectionOverUnion(a.box, b.box)).toBeLessThanOrEqual(0.5);
          }
        }
        for (const gone of boxes.filter((item) => !kept.includes(item))) {
          expect(
            kept.some((a) => a.score >= gone.score && intersectionOverUnion(a.box, gone.box) > 0.5),
          ).toBe(true);
        }
      }),
    );
  });

  it('done twice changes nothing more, and the best box always stays', () => {
    fc.assert(
      fc.property(fc.array(scored, { minLength: 1, maxLength: 12 }), (boxes) => {
        const once = suppress(boxes, 0.4);
        expect(suppress(once, 0.4)).toEqual(once);
        expect(once[0]?.score).toBe(Math.max(...boxes.map((item) => item.score)));
      }),
    );
  });
});

describe('pairing', () => {
  it('uses each box once and leaves nobody out of the lists', () => {
    fc.assert(
      fc.property(fc.array(box, { maxLength: 8 }), fc.array(box, { maxLength: 8 }), (truth, found) => {
        const { pairs, missed, unmatched } = pairBoxes(truth, found, 0.3);
        expect(new Set(pairs.map(([t]) => t)).size + missed.length).toBe(truth.length);
        expect(new Set(pairs.map(([, f]) => f)).size + unmatched.length).toBe(found.length);
        for (const [t, f] of pairs) {
          expect(intersectionOverUnion(truth[t]!, found[f]!)).toBeGreaterThanOrEqual(0.3);
        }
      }),
    );
  });

  it('gives each box to its best partner, not to the first', () => {
    const truth: BoxTuple[] = [
      [0, 0, 10, 10],
      [2, 0, 10, 10],
    ];
    expect(pairBoxes(truth, [[2, 0, 10, 10]], 0.4).pairs).toEqual([[1, 0]]);
  });
});
