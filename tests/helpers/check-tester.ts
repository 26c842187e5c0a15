import { describe, expect, it } from 'vitest';
import type { Check, Limit, Observed } from '../../pipeline/contracts/check.ts';
import { type Finding, findingSchema } from '../../pipeline/contracts/finding.ts';
import { findings } from '../../pipeline/judge/run-check.ts';

type ViewOf<C extends Check> = Parameters<C['observe']>[0];
type Limits = Readonly<Record<string, Readonly<Record<string, number>>>>;

/** Freezes everything a check could change, functions and maps apart. */
export function deepFreeze<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) {
    Object.freeze(value);
    for (const member of Object.values(value)) deepFreeze(member);
  }
  return value;
}

/** Limits for one check: those given, every other declared one unused. */
function limitsFor(check: Check, given: Limits): Readonly<Record<string, Readonly<Record<string, Limit>>>> {
  return Object.fromEntries(
    Object.entries(check.meta.quantities).flatMap(([name, quantity]) =>
      quantity.bad === 'outside'
        ? []
        : [
            [
              name,
              Object.fromEntries(
                quantity.levels.map((level): [string, Limit] => [
                  level,
                  { value: given[name]?.[level] ?? null, unit: quantity.unit, source: `test ${level}` },
                ]),
              ),
            ],
          ],
    ),
  );
}

/** Runs a check twice on a frozen view: the findings must be the same, valid, and say something in plain words. */
export function runCheck<C extends Check>(
  check: C,
  view: ViewOf<C>,
  limits: Limits = {},
): readonly Finding[] {
  deepFreeze(view);
  const observe = check.observe as (view: ViewOf<C>) => Observed;
  const run = () => findings(check, observe(view), limitsFor(check, limits));
  const first = run().map(({ finding }) => finding);
  expect(run().map(({ finding }) => finding)).toEqual(first);
  for (const finding of first) {
    expect(findingSchema.parse(finding)).toEqual(finding);
    expect(`${finding.title} ${finding.detail}`).not.toMatch(
      /undefined|null|NaN|Infinity|\[object|\d{7}| {2}/,
    );
    expect(finding.title).toMatch(/^[A-Z"].{3,60}[^.]$/);
    expect(finding.detail).toMatch(/^[A-Z0-9].*\.$/);
    expect(finding.source).not.toBe('');
  }
  return first;
}

interface Sample<C extends Check> {
  /** Level to limit, mildest first. */
  readonly limits: Readonly<Record<string, number>>;
  /** A view in which the quantity has that very value and everything else passes. */
  readonly view: (value: number) => ViewOf<C>;
  /** Smallest step that the quantity takes; 1 for counts. */
  readonly step: number;
  /** What the finding shows for a value or limit, where that is not the number itself. */
  readonly shown?: (value: number) => number;
}

/** Below, on and above each limit of every numeric quantity a check declares. */
export function describeLimits<C extends Check>(
  check: C,
  samples: Readonly<Record<string, Sample<C>>>,
): void {
  describe(`${check.meta.id}: limits`, () => {
    const numeric = Object.entries(check.meta.quantities).flatMap(([name, quantity]) =>
      quantity.bad === 'outside' ? [] : [[name, quantity] as const],
    );

    it('has a sample for every numeric quantity and level', () => {
      expect(Object.keys(samples).sort()).toEqual(numeric.map(([name]) => name).sort());
      for (const [name, quantity] of numeric) {
        expect(Object.keys(samples[name]?.limits ?? {}).sort()).toEqual([...quantity.levels].sort());
      }
    });

    for (const [name, quantity] of numeric) {
      const sample = samples[name];
      if (sample === undefined) continue;
      const { limits, view, step, shown = (value: number) => value } = sample;
      const away = quantity.bad === 'above' ? step : -step;

      it.each(quantity.levels)(`${name}: %s beyond its limit, not on it`, (level) => {
        const limit = limits[level];
        if (limit === undefined) throw new Error(`no limit for ${level}`);
        const only = { [name]: { [level]: limit } };
        expect(runCheck(check, view(limit), only)).toEqual([]);
        expect(runCheck(check, view(limit - away), only)).toEqual([]);
        const [finding, ...more] = runCheck(check, view(limit + away), only);
        expect(more).toEqual([]);
        expect(finding).toMatchObject({
          check: check.meta.id,
          severity: check.meta.levels[level],
          source: `test ${level}`,
        });
        expect(Number(finding?.value)).toBeCloseTo(shown(limit + away), 9);
        expect(Number(finding?.limit)).toBeCloseTo(shown(limit), 9);
      });

      it(`${name}: the gravest level that is passed counts`, () => {
        for (const level of quantity.levels) {
          const limit = limits[level] ?? 0;
          expect(runCheck(check, view(limit + away), { [name]: limits })[0]?.source).toBe(`test ${level}`);
        }
      });
    }
  });
}
