import { describe, expect, it } from 'vitest';
import { averagePrecision, cocoAreaRanges } from '../../pipeline/numeric/average-precision.ts';
import { type BoxTuple, intersectionOverUnion } from '../../pipeline/numeric/boxes.ts';
import { wilsonInterval } from '../../pipeline/numeric/proportion.ts';

describe('intersection over union', () => {
  // Elementary geometry, worked by hand: shared area over joint area.
  it.each([
    { a: [0, 0, 10, 10], b: [5, 0, 10, 10], iou: 50 / 150 },
    { a: [0, 0, 10, 10], b: [5, 5, 10, 10], iou: 25 / 175 },
    { a: [0, 0, 10, 10], b: [0, 0, 10, 5], iou: 50 / 100 },
    { a: [0, 0, 10, 10], b: [20, 0, 10, 10], iou: 0 },
  ] as const)('$a and $b', ({ a, b, iou }) => {
    expect(intersectionOverUnion(a, b)).toBeCloseTo(iou, 12);
  });
});

describe('Wilson interval', () => {
  // Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3 (score, no continuity correction).
  it.each([
    { successes: 81, trials: 263, low: 0.2553, high: 0.3662 },
    { successes: 15, trials: 148, low: 0.0624, high: 0.1605 },
    { successes: 0, trials: 20, low: 0, high: 0.1611 },
    { successes: 1, trials: 29, low: 0.0061, high: 0.1718 },
  ])('$successes of $trials', ({ successes, trials, low, high }) => {
    const interval = wilsonInterval(successes, trials);
    expect(interval?.low).toBeCloseTo(low, 4);
    expect(interval?.high).toBeCloseTo(high, 4);
  });

  it('mirrors: failures have one minus the interval of the successes', () => {
    const few = wilsonInterval(3, 40);
    const many = wilsonInterval(37, 40);
    expect(1 - many!.high).toBeCloseTo(few!.low, 12);
    expect(1 - many!.low).toBeCloseTo(few!.high, 12);
  });

  it('has nothing to say without trials and refuses nonsense', () => {
    expect(wilsonInterval(0, 0)).toBeNull();
    expect(() => wilsonInterval(3, 2)).toThrow(RangeError);
    expect(() => wilsonInterval(0.5, 2)).toThrow(RangeError);
  });
});

describe('average precision', () => {
  const at = (x: number, size = 40): BoxTuple => [x, 0, size, size];

  it('follows the 101-point rule of the COCO evaluation', () => {
    // Worked by hand: hit, false alarm, hit on two true boxes. Precision is 1 up to recall 1/2 (51 of 101 points), then 2/3 (50 points).
    const picture = {
      truth: [at(0), at(100)],
      found: [
        { box: at(0), score: 0.9 },
        { box: at(300), score: 0.8 },
        { box: at(100), score: 0.7 },
      ],
    };
    expect(averagePrecision([picture])).toBeCloseTo((51 + (50 * 2) / 3) / 101, 12);
  });

  it('takes the best precision at that recall or beyond', () => {
    // Worked by hand: false alarm, hit, hit on two true boxes; precision 0, 1/2, 2/3, so 2/3 holds at every recall.
    const picture = {
      truth: [at(0), at(100)],
      found: [
        { box: at(300), score: 0.9 },
        { box: at(0), score: 0.8 },
        { box: at(100), score: 0.7 },
      ],
    };
    expect(averagePrecision([picture])).toBeCloseTo(2 / 3, 12);
  });

  it('ranks over all pictures, not picture by picture', () => {
    // Worked by hand: scores 0.9 hit, 0.8 false alarm, 0.6 hit; two true boxes.
    const pictures = [
      { truth: [at(0)], found: [{ box: at(0), score: 0.6 }] },
      {
        truth: [at(0)],
        found: [
          { box: at(200), score: 0.8 },
          { box: at(0), score: 0.9 },
        ],
      },
    ];
    expect(averagePrecision(pictures)).toBeCloseTo((51 + (50 * 2) / 3) / 101, 12);
  });

  it('counts a second box on the same person as a false alarm', () => {
    // Worked by hand: hit, then a doubled one, then the second hit.
    const picture = {
      truth: [at(0), at(100)],
      found: [
        { box: at(0), score: 0.9 },
        { box: at(1), score: 0.8 },
        { box: at(100), score: 0.7 },
      ],
    };
    expect(averagePrecision([picture])).toBeCloseTo((51 + (50 * 2) / 3) / 101, 12);
  });

  it('leaves out what lies in a crowd and what is of another size', () => {
    const crowd = {
      truth: [at(0)],
      ignored: [[200, 0, 200, 200]] as BoxTuple[],
      found: [
        { box: at(250), score: 0.95 },
        { box: at(0), score: 0.9 },
      ],
    };
    expect(averagePrecision([crowd])).toBeCloseTo(1, 12);
    // A small false alarm (20 x 20 px) does not lower the figure of the medium-sized people (40 x 40 px).
    const sizes = {
      truth: [at(0), at(300, 20)],
      found: [
        { box: at(600, 20), score: 0.99 },
        { box: at(0), score: 0.9 },
      ],
    };
    expect(averagePrecision([sizes], 0.5, cocoAreaRanges.medium)).toBeCloseTo(1, 12);
    expect(averagePrecision([sizes], 0.5, cocoAreaRanges.small)).toBe(0);
    expect(averagePrecision([sizes], 0.5, cocoAreaRanges.large)).toBeNull();
  });

  it('needs an IoU of at least one half', () => {
    const half = {
      truth: [[0, 0, 10, 10] as BoxTuple],
      found: [{ box: [0, 0, 10, 5] as BoxTuple, score: 1 }],
    };
    expect(averagePrecision([half])).toBeCloseTo(1, 12);
    const less = {
      truth: [[0, 0, 10, 10] as BoxTuple],
      found: [{ box: [0, 0, 10, 4] as BoxTuple, score: 1 }],
    };
    expect(averagePrecision([less])).toBe(0);
  });
});
