import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { axisOver } from '../../validation/axis.ts';
import { holds, missed, type Sweep, type SweepPoint, take, worstOf } from '../../validation/sweep.ts';
import { verdict, worstCase, worstError } from '../../validation/words.ts';

const point = (truth: number, measured: number | null, margin: number): SweepPoint => ({
  truth,
  measured,
  low: truth - margin,
  high: truth + margin,
  condition: `truth ${truth}`,
});

const sweep = (...points: readonly SweepPoint[]): Sweep => ({
  id: 'length',
  quantity: 'length',
  unit: 'px',
  range: 'a few',
  source: 'by hand',
  limitText: 'by hand',
  points,
});

describe('a sweep', () => {
  it('holds up to its limits and not beyond, and never without a number', () => {
    expect([1, 1.5, 0.5].map((measured) => holds(point(1, measured, 0.5)))).toEqual([true, true, true]);
    expect([1.51, 0.49, Number.NaN, null].map((measured) => holds(point(1, measured, 0.5)))).toEqual(
      new Array(4).fill(false),
    );
  });

  it('names the points outside', () => {
    expect(missed(sweep(point(1, 1.1, 0.5), point(2, 2.75, 0.5), point(3, null, 0.5)))).toEqual([
      'truth 2: expected 2 px (1.5000 to 2.5000), measured 2.7500',
      'truth 3: expected 3 px (2.5000 to 3.5000), measured none',
    ]);
  });

  it('is worst where most of what is allowed is used, not where the error is largest', () => {
    const strict = point(1, 1.09, 0.1);
    const loose = point(100, 95, 10);
    expect(worstOf(sweep(loose, strict))).toBe(strict);
    expect(worstError(sweep(loose, strict))).toBe('+0.09 px at 1 px');
    expect(worstCase(sweep(loose, strict))).toBe('90 % of what is allowed (truth 1)');
    expect(worstOf(sweep(loose, strict, point(7, null, 1))).truth).toBe(7);
  });

  it('that must be exact is at fault with any error', () => {
    expect(verdict(sweep(point(5, 5, 0)))).toBe('holds');
    expect([worstError(sweep(point(5, 5, 0))), worstCase(sweep(point(5, 5, 0)))]).toEqual(['none', '']);
    expect(worstCase(sweep(point(5, 6, 0)))).toBe('not allowed at all (truth 5)');
    expect(verdict(sweep(point(5, 5, 0), point(6, 5, 0)))).toBe('1 of 2 points outside');
  });

  it('without points is no proof', () => {
    expect(() => worstOf(sweep())).toThrow(/without points/);
  });

  it('is taken from its plan', async () => {
    const { points, ...heading } = sweep(point(1, 1, 1));
    expect(await take({ ...heading, measure: async () => points })).toEqual({ ...heading, points });
  });
});

describe('an axis', () => {
  const thousandths = fc.integer({ min: -1e9, max: 1e9 }).map((n) => n / 1000);
  const values = fc.array(thousandths, { minLength: 1, maxLength: 30 });

  it('holds every value, in order, with even round ticks', () => {
    fc.assert(
      fc.property(values, fc.integer({ min: 3, max: 10 }), (list, most) => {
        const { at, ticks } = axisOver(list, 50, 350, most);
        for (const value of list) {
          expect(at(value)).toBeGreaterThanOrEqual(50);
          expect(at(value)).toBeLessThanOrEqual(350);
        }
        expect(ticks.length).toBeGreaterThan(0);
        expect(ticks.length).toBeLessThanOrEqual(most + 1);
        for (const tick of ticks) {
          expect(at(tick)).toBeGreaterThanOrEqual(50 - 1e-6);
          expect(at(tick)).toBeLessThanOrEqual(350 + 1e-6);
        }
      }),
    );
  });

  it('tells small ticks in a power of ten', () => {
    expect(axisOver([-2e-5, 2e-5], 0, 300, 6).power).toBe(-5);
    expect(axisOver([0, 9e-4], 0, 300, 6).power).toBe(-4);
    expect(axisOver([0, 0.5], 0, 300, 6).power).toBe(0);
  });

  it('runs downwards where asked', () => {
    const { at, ticks } = axisOver([0, 10], 300, 0, 6);
    expect(at(10)).toBeLessThan(at(0));
    expect(ticks).toEqual([0, 2, 4, 6, 8, 10]);
  });
});
