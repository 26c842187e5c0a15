import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CheckMeta, type Limit, standardLevels } from '../../../pipeline/contracts/check.ts';
import { compareSeverity, grade } from '../../../pipeline/judge/grade.ts';

const meta: CheckMeta = {
  id: 'test',
  title: 'Test',
  what: 'Test.',
  levels: standardLevels,
  quantities: {
    high: { bad: 'above', unit: 'px', meaning: 'm', levels: ['note', 'cleanup', 'reject'] },
    low: { bad: 'below', unit: 'px', meaning: 'm', levels: ['note', 'cleanup', 'reject'] },
    name: { bad: 'outside', unit: 'format', meaning: 'm', unless: 'u', severity: 'cleanup' },
  },
};

const at = (value: number | null): Limit => ({ value, unit: 'px', source: 's' });
const limits = (note: number | null, cleanup: number | null, reject: number | null) => {
  const levels = { note: at(note), cleanup: at(cleanup), reject: at(reject) };
  return { high: levels, low: levels };
};
const severity = (quantity: string, value: number, of: ReturnType<typeof limits>, uncertainty?: number) =>
  grade({ quantity, value, ...(uncertainty !== undefined && { uncertainty }) }, meta, of)?.severity ?? null;

describe('grade', () => {
  it('counts strictly beyond, passes exactly on the limit, both ways', () => {
    const of = limits(null, 2, 4);
    expect([1, 2, 2.001, 4, 4.001].map((value) => severity('high', value, of))).toEqual([
      ...[null, null, 'cleanup', 'cleanup', 'reject'],
    ]);
    const under = limits(null, 4, 2);
    expect([5, 4, 3.999, 2, 1.999].map((value) => severity('low', value, under))).toEqual([
      ...[null, null, 'cleanup', 'cleanup', 'reject'],
    ]);
  });

  it('takes what only rounding put beyond for on the limit', () => {
    expect(0.1 + 0.2).toBeGreaterThan(0.3);
    expect(severity('high', 0.1 + 0.2, limits(null, 0.3, null))).toBeNull();
  });

  it('takes the uncertainty off before it compares', () => {
    const of = limits(null, 2, null);
    expect(severity('high', 2.5, of, 0.5)).toBeNull();
    expect(severity('high', 2.51, of, 0.5)).toBe('cleanup');
    expect(severity('low', 1.5, of, 0.5)).toBeNull();
    expect(severity('low', 1.49, of, 0.5)).toBe('cleanup');
  });

  it('never reaches a level that is not used', () => {
    expect(severity('high', 1e9, limits(null, null, null))).toBeNull();
  });

  it('compares names with those accepted', () => {
    const accepted = { names: ['jpeg', 'png'], source: 'store' };
    expect(grade({ quantity: 'name', value: 'png', accepted }, meta, {})).toBeNull();
    expect(grade({ quantity: 'name', value: 'gif', accepted }, meta, {})).toEqual({
      level: 'cleanup',
      severity: 'cleanup',
      limit: 'jpeg, png',
      source: 'store',
    });
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 'x'])('throws on %s', (value) => {
    expect(() => grade({ quantity: 'high', value }, meta, limits(1, 2, 3))).toThrow(RangeError);
  });

  it('throws on a wrong uncertainty, an unknown quantity, a missing limit and a name without its list', () => {
    const of = limits(1, 2, 3);
    expect(() => grade({ quantity: 'high', value: 1, uncertainty: Number.NaN }, meta, of)).toThrow(
      RangeError,
    );
    expect(() => grade({ quantity: 'high', value: 1, uncertainty: -1 }, meta, of)).toThrow(RangeError);
    expect(() => grade({ quantity: 'none', value: 1 }, meta, of)).toThrow(RangeError);
    expect(() => grade({ quantity: 'high', value: 1 }, meta, {})).toThrow(RangeError);
    expect(() => grade({ quantity: 'name', value: 'jpeg' }, meta, of)).toThrow(RangeError);
  });
});

describe('laws of grading', () => {
  const number = fc.double({ min: -1e6, max: 1e6, noNaN: true });
  const ascending = fc.tuple(number, number, number).map((three) => three.sort((a, b) => a - b));
  const rank = (found: ReturnType<typeof severity>): number =>
    found === null ? -1 : ['note', 'cleanup', 'reject'].indexOf(found);

  it('a worse value is never graded milder', () => {
    fc.assert(
      fc.property(ascending, number, number, (three, a, b) => {
        const up = limits(three[0]!, three[1]!, three[2]!);
        const down = limits(three[2]!, three[1]!, three[0]!);
        const [less, more] = [Math.min(a, b), Math.max(a, b)];
        expect(rank(severity('high', more, up))).toBeGreaterThanOrEqual(rank(severity('high', less, up)));
        expect(rank(severity('low', less, down))).toBeGreaterThanOrEqual(rank(severity('low', more, down)));
      }),
    );
  });

  it('a stricter limit never clears a finding, and more uncertainty never makes one', () => {
    fc.assert(
      fc.property(number, number, number, fc.double({ min: 0, max: 1e6, noNaN: true }), (value, a, b, u) => {
        const [strict, lax] = [Math.min(a, b), Math.max(a, b)];
        const of = (limit: number) => limits(null, limit, null);
        if (severity('high', value, of(lax)) !== null)
          expect(severity('high', value, of(strict))).not.toBeNull();
        if (severity('high', value, of(lax)) === null) expect(severity('high', value, of(lax), u)).toBeNull();
      }),
    );
  });

  it('above and below are mirror images', () => {
    fc.assert(
      fc.property(ascending, number, (three, value) => {
        const up = limits(three[0]!, three[1]!, three[2]!);
        const mirrored = limits(-three[0]!, -three[1]!, -three[2]!);
        expect(severity('low', -value, mirrored)).toBe(severity('high', value, up));
      }),
    );
  });
});

describe('compareSeverity', () => {
  it('puts what was measured above what was not, and notes below all', () => {
    const order = (['reject', 'note', 'cleanup', 'unmeasured'] as const).slice().sort(compareSeverity);
    expect(order).toEqual(['note', 'unmeasured', 'cleanup', 'reject']);
  });
});
