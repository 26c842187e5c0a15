import { differenceCiede2000 } from 'culori';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ciede2000 } from '../../../pipeline/numeric/colour/ciede2000.ts';
import type { Triple } from '../../../pipeline/numeric/colour/matrix3.ts';
import { sharmaPairs } from '../../validation/colour-tables.ts';

describe('CIEDE2000 against the published pairs', () => {
  it('has all 34 of them', () => expect(sharmaPairs).toHaveLength(34));

  it.each(sharmaPairs)('%f %f %f to %f %f %f is %f', (l1, a1, b1, l2, a2, b2, expected) => {
    expect(ciede2000([l1, a1, b1], [l2, a2, b2])).toBeCloseTo(expected, 4);
    expect(ciede2000([l2, a2, b2], [l1, a1, b1])).toBeCloseTo(expected, 4);
  });

  it('agrees outside the table with the value colour-science (Python) tests with', () => {
    const difference = ciede2000([100, 21.57210357, 272.2281935], [100, 426.67945353, 72.39590835]);
    expect(difference).toBeCloseTo(94.03564903, 6);
  });
});

describe('CIEDE2000 as a law', () => {
  const lab = fc.tuple(
    fc.double({ min: 0, max: 100, noNaN: true }),
    fc.double({ min: -120, max: 120, noNaN: true }),
    fc.double({ min: -120, max: 120, noNaN: true }),
  );

  it('is 0 from a colour to itself, and the same both ways', () => {
    fc.assert(
      fc.property(lab, lab, (one, other) => {
        expect(ciede2000(one, one)).toBe(0);
        expect(ciede2000(one, other)).toBeCloseTo(ciede2000(other, one), 9);
        expect(ciede2000(one, other)).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  it('equals culori 4 (an independent library) on any two colours', () => {
    const independent = differenceCiede2000();
    const colour = ([l, a, b]: Triple) => ({ mode: 'lab65' as const, l, a, b });
    fc.assert(
      fc.property(lab, lab, (one, other) => {
        expect(ciede2000(one, other)).toBeCloseTo(independent(colour(one), colour(other)), 6);
      }),
    );
  });
});
