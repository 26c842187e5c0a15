import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { softEyes } from '../../../pipeline/checks/frame/soft-eyes.ts';
import { checks } from '../../../pipeline/checks/index.ts';
import { CodedError } from '../../../pipeline/errors.ts';
import { buildProfile, loadProfile } from '../../../pipeline/profile/load-profile.ts';
import { aProfile, defaultProfile, defaultText } from '../../helpers/profile.ts';

const folder = mkdtempSync(join(tmpdir(), 'nightrail-profile-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** What a profile is refused with: one entry a fault. */
function refusal(layer: unknown): readonly string[] {
  const text = typeof layer === 'string' ? layer : JSON.stringify(layer);
  try {
    buildProfile(defaultText, { text, file: 'store.json' });
  } catch (error) {
    if (!(error instanceof CodedError)) throw error;
    expect(error).toMatchObject({ code: 'wrong-profile', kind: 'usage' });
    const [first, ...more] = error.message.split('\n- ');
    expect(first).toContain('store.json');
    return more.length > 0 ? more : [first!.replace(/^.*?\(store\.json\): /, '')];
  }
  return [];
}

const eyes = (levels: unknown) => ({ checks: { 'soft-eyes': { blur: levels } } });

describe('the default profile', () => {
  it('loads, is frozen to the bottom and has its hash', async () => {
    const profile = await loadProfile(null);
    expect(profile).toEqual(defaultProfile);
    expect(profile.name).toBe('default');
    expect(profile.hash).toMatch(/^[0-9a-f]{64}$/);
    expect(Object.isFrozen(profile.checks['soft-eyes']?.limits.blur?.cleanup)).toBe(true);
    expect(Object.keys(profile.checks)).toEqual(checks.map(({ meta }) => meta.id));
  });

  it('stops the start where it and the checks disagree, naming each place', () => {
    const grown = [...checks, { ...softEyes, meta: { ...softEyes.meta, id: 'soft-hands' } }];
    expect(() => buildProfile(defaultText, null, grown)).toThrow(
      /\(the default profile\): checks\.soft-hands is missing/,
    );
    const shrunk = checks.filter(({ meta }) => meta.id !== 'soft-eyes');
    expect(() => buildProfile(defaultText, null, shrunk)).toThrow(
      /\(the default profile\): checks\.soft-eyes: there is no such key\. Expected one of unreadable-file, /,
    );
    const without = JSON.parse(defaultText);
    delete without.checks['soft-eyes'].blur.reject.source;
    without.checks['soft-face'].blur.reject.value = 0.1;
    expect(() => buildProfile(JSON.stringify(without), null)).toThrow(/blur\.reject\.source is missing/);
    without.checks['soft-eyes'].blur.reject.source = 'x';
    expect(() => buildProfile(JSON.stringify(without), null)).toThrow(/checks\.soft-face\.blur: "reject"/);
  });
});

describe('a profile file', () => {
  it('overrides a limit, names itself as its source, and leaves the rest', async () => {
    const file = join(folder, 'north-store.json');
    writeFileSync(file, `\uFEFF${JSON.stringify(eyes({ cleanup: { value: 1, unit: 'px' } }))}`);
    const profile = await loadProfile(file);
    expect(profile.name).toBe('north-store');
    expect(profile.checks['soft-eyes']?.limits.blur?.cleanup).toEqual({
      value: 1,
      unit: 'px',
      source: 'profile north-store',
    });
    expect(profile.checks['soft-eyes']?.limits.blur?.reject).toEqual(
      defaultProfile.checks['soft-eyes']?.limits.blur?.reject,
    );
    expect(profile.hash).not.toBe(defaultProfile.hash);
  });

  it('keeps a source of its own and a name of its own', () => {
    const profile = aProfile({
      name: 'North',
      ...eyes({ cleanup: { value: 1, unit: 'px', source: 'contract of 2026, page 4' } }),
    });
    expect(profile.name).toBe('North');
    expect(profile.checks['soft-eyes']?.limits.blur?.cleanup?.source).toBe('contract of 2026, page 4');
  });

  it('overrides delivery settings, switches checks off and limits out of use', () => {
    const profile = aProfile({
      delivery: {
        longEdge: { value: 1200, unit: 'px' },
        required: { value: ['front'], unit: 'view or crop' },
      },
      checks: { 'high-iso': { off: true }, 'soft-eyes': { blur: { cleanup: { value: null, unit: 'px' } } } },
    });
    expect(profile.delivery).toMatchObject({
      longEdgePx: 1200,
      required: { names: ['front'], source: 'profile test' },
    });
    expect(profile.checks['high-iso']?.off).toBe(true);
    expect(profile.checks['soft-eyes']?.limits.blur?.cleanup?.value).toBeNull();
  });
});

describe('a wrong profile file', () => {
  it.each([
    [
      'a slip in a check',
      { checks: { 'soft-eye': {} } },
      'checks.soft-eye: there is no such key. Did you mean "soft-eyes"?',
    ],
    [
      'another separator',
      { checks: { soft_eyes: {} } },
      'checks.soft_eyes: there is no such key. Did you mean "soft-eyes"?',
    ],
    [
      'a slip in a quantity',
      { checks: { 'soft-eyes': { blurr: {} } } },
      'checks.soft-eyes.blurr: there is no such key. Did you mean "blur"?',
    ],
    [
      'a slip in a level',
      eyes({ rejct: { value: 1, unit: 'px' } }),
      'checks.soft-eyes.blur.rejct: there is no such key. Did you mean "reject"?',
    ],
    [
      'a key in the wrong place',
      { longEdge: { value: 1, unit: 'px' } },
      'longEdge: there is no such key. Did you mean "delivery.longEdge"?',
    ],
    [
      'a key like nothing',
      { zzzzzzzz: 1 },
      'zzzzzzzz: there is no such key. Expected one of name, delivery, checks.',
    ],
    [
      'a wrong unit',
      eyes({ reject: { value: 3, unit: 'percent' } }),
      'checks.soft-eyes.blur.reject.unit: expected the unit "px", received "percent".',
    ],
    [
      'no unit',
      eyes({ reject: { value: 3 } }),
      'checks.soft-eyes.blur.reject.unit is missing: expected the unit "px".',
    ],
    [
      'a bare number',
      eyes({ reject: 3 }),
      'checks.soft-eyes.blur.reject: expected a limit such as { "value": 1, "unit": "px" }, received 3.',
    ],
    [
      'a number as text',
      eyes({ reject: { value: '3', unit: 'px' } }),
      'checks.soft-eyes.blur.reject.value: expected pixels, 0 or more, or null for a limit that is not used, received "3".',
    ],
    [
      'percent for a share',
      { checks: { 'background-person': { share: { light: { value: 30, unit: 'share' } } } } },
      'checks.background-person.share.light.value: expected a share from 0 to 1, so 2 % is 0.02, received 30.',
    ],
    [
      'half a frame',
      { checks: { 'set-size': { fewest: { cleanup: { value: 4.5, unit: 'frames' } } } } },
      'checks.set-size.fewest.cleanup.value: expected a whole number of frames, received 4.5.',
    ],
    [
      'an unknown format',
      { delivery: { formats: { value: ['jpg'], unit: 'format' } } },
      'delivery.formats.value.0: expected a format; did you mean "jpeg"? Received "jpg".',
    ],
    [
      'no format at all',
      { delivery: { formats: { value: [], unit: 'format' } } },
      /^delivery\.formats\.value: expected a list of formats: jpeg, .*, received \[\]\.$/,
    ],
    [
      'a long edge of nothing',
      { delivery: { longEdge: { value: 0, unit: 'px' } } },
      'delivery.longEdge.value: expected a whole number of px, 1 or more, received 0.',
    ],
    [
      'yes for true',
      { checks: { 'high-iso': { off: 'yes' } } },
      'checks.high-iso.off: expected true or false, received "yes".',
    ],
    [
      'an empty source',
      eyes({ reject: { value: 3, unit: 'px', source: ' ' } }),
      'checks.soft-eyes.blur.reject.source: expected a text that names the source of the limit, received " ".',
    ],
    [
      'the one check without a switch',
      { checks: { 'unreadable-file': { off: true } } },
      'checks.unreadable-file.off: there is no such key: this check has nothing to set.',
    ],
    ['a list', [], 'the profile: expected an object, received [].'],
    ['nothing', 'null', 'the profile: expected an object, received null.'],
    [
      'no JSON',
      '{\n  "checks" {}\n}',
      'it is not JSON (line 2, column 12): look for a missing comma or bracket.',
    ],
    ['an empty file', '', 'it is not JSON: look for a missing comma or bracket.'],
    [
      'a key of every object',
      '{"__proto__": {}}',
      '__proto__: there is no such key. Expected one of name, delivery, checks.',
    ],
  ])('%s', (_, layer, sentence) => {
    const [fault, ...more] = refusal(layer);
    expect(more).toEqual([]);
    if (typeof sentence === 'string') expect(fault).toBe(sentence);
    else expect(fault).toMatch(sentence);
  });

  it('lists every fault at once', () => {
    expect(
      refusal({ chekcs: {}, ...eyes({ reject: 3, cleanup: { value: -1, unit: 'mm' } }) }).map(
        (fault) => fault.split(':')[0],
      ),
    ).toEqual(
      expect.arrayContaining([
        'chekcs',
        'checks.soft-eyes.blur.reject',
        'checks.soft-eyes.blur.cleanup.value',
        'checks.soft-eyes.blur.cleanup.unit',
      ]),
    );
  });

  it('refuses limits that contradict each other, and says whose they are', () => {
    const [fault] = refusal(eyes({ cleanup: { value: 9, unit: 'px' } }));
    expect(fault).toMatch(
      /^checks\.soft-eyes\.blur: "reject" \(2\.5 px, common practice.*\) would be reached before "cleanup" \(9 px, profile store\)\. Set both, or set one to null\.$/,
    );
    // For a quantity that is bad when low the order is the other way round.
    expect(
      refusal({ checks: { 'flash-sync': { exposureTime: { cleanup: { value: 0.01, unit: 's' } } } } }),
    ).toHaveLength(1);
    expect(
      refusal({ checks: { 'flash-sync': { exposureTime: { cleanup: { value: 0.001, unit: 's' } } } } }),
    ).toEqual([]);
  });

  it.each([
    ['there is no such file', 'missing.json'],
    ['it is a folder', '.'],
  ])('%s', async (why, name) => {
    const file = join(folder, name);
    await expect(loadProfile(file)).rejects.toMatchObject({ code: 'wrong-profile', kind: 'usage' });
    await expect(loadProfile(file)).rejects.toThrow(`The profile cannot be used (${file}): ${why}.`);
  });
});
