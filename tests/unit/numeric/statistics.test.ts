import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hammingDistance } from '../../../pipeline/numeric/hamming.ts';
import {
  bootstrap,
  madSigma,
  mean,
  median,
  nextXoshiro128,
  percentile,
  seededRandom,
  standardDeviation,
  weightedMedian,
} from '../../../pipeline/numeric/statistics.ts';

describe('order statistics', () => {
  /** Worked by hand, definition 7 of Hyndman and Fan (1996): what numpy and R give by default. */
  it('lie on the straight line between neighbours', () => {
    expect(percentile([1, 2, 3, 4], 0.25)).toBe(1.75);
    expect(percentile([15, 20, 35, 40, 50], 0.4)).toBeCloseTo(29, 12);
    expect(median([3, 1, 2])).toBe(2);
    expect(median([4, 1, 2, 3])).toBe(2.5);
  });

  it('are those of the sorted numbers, of any and of many equal ones', () => {
    const number = fc.oneof(fc.integer({ min: 0, max: 3 }), fc.double({ noNaN: true, min: -1e6, max: 1e6 }));
    fc.assert(
      fc.property(fc.array(number, { minLength: 1, maxLength: 80 }), fc.nat(), (values, place) => {
        const sorted = Float64Array.from(values).sort();
        const at = place % values.length;
        const [here, next] = [sorted[at]!, sorted[Math.min(at + 1, values.length - 1)]!];
        const found = percentile(values, values.length === 1 ? 0 : at / (values.length - 1));
        expect(found).toBeCloseTo(here, 6);
        const half = percentile(values, values.length === 1 ? 1 : (at + 0.5) / (values.length - 1));
        expect(half).toBeCloseTo(at + 1 < values.length ? (here + next) / 2 : next, 4);
      }),
    );
  });

  it('do not mind wild numbers or the order, and leave their input alone', () => {
    const values = Object.freeze([5, 1, 4, 2, 1e9]);
    expect(median(values)).toBe(4);
    expect(madSigma(values)).toBeCloseTo(1.4826 * 2, 3);
    expect(() => percentile([], 0.5)).toThrow(RangeError);
  });

  it('weigh', () => {
    expect(weightedMedian([1, 2, 3], [1, 1, 5])).toBe(3);
    expect(weightedMedian([3, 1, 2, 4], [1, 1, 1, 1])).toBe(2.5);
    expect(() => weightedMedian([1], [0])).toThrow(RangeError);
  });

  it('agree with the plain median for equal weights', () => {
    const numbers = fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 1, maxLength: 40 });
    fc.assert(
      fc.property(numbers, (values) => {
        expect(
          weightedMedian(
            values,
            values.map(() => 1),
          ),
        ).toBeCloseTo(median(values), 12);
      }),
    );
  });

  it('mean and standard deviation', () => {
    expect(mean([2, 4, 4, 4, 5, 5, 7, 9])).toBe(5);
    expect(standardDeviation([2, 4, 4, 4, 5, 5, 7, 9])).toBeCloseTo(Math.sqrt(32 / 7), 12);
    expect(standardDeviation([3])).toBe(0);
  });
});

describe('seeded chance', () => {
  /** First outputs of the authors' reference code for the state 1, 2, 3, 4 (from memory; also the vector of the rand_xoshiro package). */
  it('is xoshiro128**', () => {
    const state = Uint32Array.of(1, 2, 3, 4);
    const first = Array.from({ length: 10 }, () => nextXoshiro128(state));
    expect(first).toEqual([
      11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
    ]);
  });

  it('repeats for a seed, differs between seeds, and is even', () => {
    const draw = (seed: number) => Array.from({ length: 4000 }, seededRandom(seed));
    expect(draw(7)).toEqual(draw(7));
    expect(draw(7)).not.toEqual(draw(8));
    /** Standard error of the mean of 4000 even numbers is 0.0046. */
    expect(Math.abs(mean(draw(7)) - 0.5)).toBeLessThan(0.02);
  });

  /** Standard error of a mean is sigma / sqrt(n). */
  it('bootstraps the standard error of a mean', () => {
    const random = seededRandom(3);
    const sample = Array.from({ length: 400 }, () => random());
    const means = bootstrap(sample.length, 400, 1, (drawn) => mean(Array.from(drawn, (i) => sample[i]!)));
    expect(standardDeviation(means)).toBeCloseTo(standardDeviation(sample) / 20, 2);
    expect(bootstrap(3, 5, 1, () => null)).toEqual([]);
  });
});

describe('Hamming distance', () => {
  it('counts bits', () => {
    expect(hammingDistance('0000000000000000', 'ffffffffffffffff')).toBe(64);
    expect(hammingDistance('0f', '0e')).toBe(1);
    expect(hammingDistance('a5A5', 'a5a5')).toBe(0);
    expect(() => hammingDistance('0', '00')).toThrow(/same length/);
    expect(() => hammingDistance('g0', '00')).toThrow(RangeError);
  });

  it('equals the population count of the exclusive or, and is a distance', () => {
    const word = fc.bigInt({ min: 0n, max: 2n ** 64n - 1n });
    const hex = (value: bigint) => value.toString(16).padStart(16, '0');
    fc.assert(
      fc.property(word, word, word, (a, b, c) => {
        const ones = (a ^ b).toString(2).replaceAll('0', '').length;
        expect(hammingDistance(hex(a), hex(b))).toBe(ones);
        expect(hammingDistance(hex(a), hex(c))).toBeLessThanOrEqual(
          hammingDistance(hex(a), hex(b)) + hammingDistance(hex(b), hex(c)),
        );
      }),
    );
  });
});
