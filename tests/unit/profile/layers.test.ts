import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checks } from '../../../pipeline/checks/index.ts';
import { canonicalHash, canonicalJson } from '../../../pipeline/profile/canonical-json.ts';
import { layOver, type PartialProfile, type ProfileDocument } from '../../../pipeline/profile/layers.ts';
import { editDistance, nearest } from '../../../pipeline/profile/nearest.ts';
import { aProfile, defaultText } from '../../helpers/profile.ts';

const base = JSON.parse(defaultText) as ProfileDocument;

/** One limit of one check, set to some value: the smallest layer there is. */
const places = checks.flatMap(({ meta }) =>
  Object.entries(meta.quantities).flatMap(([quantity, declared]) =>
    declared.bad === 'outside'
      ? []
      : declared.levels.map((level) => ({ check: meta.id, quantity, level, unit: declared.unit })),
  ),
);
const layer = fc
  .tuple(fc.constantFrom(...places), fc.integer({ min: 0, max: 50 }), fc.option(fc.string({ minLength: 1 })))
  .map(([{ check, quantity, level, unit }, value, source]): PartialProfile => {
    const limit = source === null ? { value, unit } : { value, unit, source };
    return { checks: { [check]: { [quantity]: { [level]: limit } } } };
  });

describe('laws of layering', () => {
  it('nothing laid over a profile changes nothing but its name', () => {
    expect(layOver(base, {}, base.name)).toEqual(base);
    expect(layOver(base, { checks: {}, delivery: {} }, base.name)).toEqual(base);
  });

  it('the same layer twice is the layer once', () => {
    fc.assert(
      fc.property(layer, (over) => {
        const once = layOver(base, over, 'n');
        expect(layOver(once, over, 'n')).toEqual(once);
      }),
    );
  });

  it('the layer wins where it speaks, and everything else stays', () => {
    fc.assert(
      fc.property(fc.constantFrom(...places), fc.integer({ min: 0, max: 50 }), (place, value) => {
        const over = {
          checks: { [place.check]: { [place.quantity]: { [place.level]: { value, unit: place.unit } } } },
        };
        const merged = layOver(base, over, 'n') as unknown as Record<string, never>;
        for (const { check, quantity, level } of places) {
          const at = (document: unknown) =>
            (document as { checks: Record<string, Record<string, Record<string, unknown>>> }).checks[check]?.[
              quantity
            ]?.[level];
          const own = check === place.check && quantity === place.quantity && level === place.level;
          expect(at(merged)).toEqual(own ? { value, unit: place.unit, source: 'profile n' } : at(base));
        }
      }),
    );
  });

  it('layers that speak of different things can be laid in any order', () => {
    fc.assert(
      fc.property(layer, layer, (a, b) => {
        fc.pre(Object.keys(a.checks as object)[0] !== Object.keys(b.checks as object)[0]);
        expect(layOver(layOver(base, a, 'n'), b, 'n')).toEqual(layOver(layOver(base, b, 'n'), a, 'n'));
      }),
    );
  });

  it('changes neither the profile nor the layer', () => {
    const before = structuredClone(base);
    const over = { checks: { 'soft-eyes': { off: true } } };
    layOver(base, over, 'n');
    expect(base).toEqual(before);
    expect(over).toEqual({ checks: { 'soft-eyes': { off: true } } });
  });
});

describe('the hash', () => {
  it('is the SHA-256 of JSON with sorted keys and no white space', () => {
    // Node's own digest over text written by hand.
    const expected = createHash('sha256').update('{"a":[1,{"b":null,"c":"x"}],"d":0.5}').digest('hex');
    expect(canonicalHash({ d: 0.5, a: [1, { c: 'x', b: null }] })).toBe(expected);
  });

  it('does not depend on the order in which a profile was written', () => {
    const a = aProfile({ name: 'n', checks: { 'soft-eyes': { off: true }, 'high-iso': { off: true } } });
    const b = aProfile({ checks: { 'high-iso': { off: true }, 'soft-eyes': { off: true } }, name: 'n' });
    expect(a.hash).toBe(b.hash);
    expect(a.hash).not.toBe(aProfile({ name: 'n', checks: { 'soft-eyes': { off: true } } }).hash);
  });

  it('canonical JSON says what JSON says', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        expect(JSON.parse(canonicalJson(value))).toEqual(JSON.parse(JSON.stringify(value)));
      }),
    );
  });
});

describe('suggestions', () => {
  // The worked example of the literature: kitten to sitting takes three edits.
  it.each([
    ['kitten', 'sitting', 3],
    ['', 'abc', 3],
    ['abc', 'abc', 0],
    ['flaw', 'lawn', 2],
  ])('edit distance of %s and %s is %d', (a, b, distance) => {
    expect(editDistance(a, b)).toBe(distance);
    expect(editDistance(b, a)).toBe(distance);
  });

  it('finds the nearest word, and none where nothing is near', () => {
    expect(nearest('softEyes', ['soft-face', 'soft-eyes'])).toBe('soft-eyes');
    expect(nearest('clipped-highlight', ['clipped-highlights', 'blocked-shadows'])).toBe(
      'clipped-highlights',
    );
    expect(nearest('banana', ['soft-face', 'soft-eyes'])).toBeNull();
    expect(nearest('x'.repeat(100_000), ['soft-eyes'])).toBeNull();
  });
});
