import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { frameVerdicts, type Severity, severities } from '../../../pipeline/contracts/finding.ts';
import { frameTable, frameVerdict, garmentTable, garmentVerdict } from '../../../pipeline/judge/verdict.ts';

const found = (...of: Severity[]) => of.map((severity) => ({ severity }));

describe('frame verdicts', () => {
  it.each([
    [false, [], 'unreadable'],
    [false, ['unmeasured'], 'unreadable'],
    [false, ['reject'], 'unreadable'],
    [true, ['note', 'cleanup', 'unmeasured', 'reject'], 'reject'],
    [true, ['cleanup', 'note'], 'cleanup'],
    [true, ['unmeasured'], 'cleanup'],
    [true, ['note', 'note'], 'pass'],
    [true, [], 'pass'],
  ] as const)('readable %s with %j: %s', (readable, of, verdict) => {
    expect(frameVerdict({ readable, findings: found(...of) })).toBe(verdict);
  });
});

describe('garment verdicts', () => {
  it.each([
    [['reject'], ['pass', 'pass'], 'reshoot'],
    [[], ['reject', 'unreadable'], 'reshoot'],
    [[], [], 'reshoot'],
    [['cleanup'], ['pass', 'pass'], 'cleanup'],
    [['unmeasured'], ['pass', 'pass'], 'cleanup'],
    [[], ['pass', 'cleanup'], 'cleanup'],
    [[], ['pass', 'unreadable'], 'cleanup'],
    [['note'], ['pass', 'pass'], 'pass'],
    // One rejected frame among good ones costs no reshoot: what it showed is either covered by others, or missing-view says so.
    [['note'], ['pass', 'reject', 'pass'], 'pass'],
    [['reject'], ['pass', 'reject', 'pass'], 'reshoot'],
    [[], ['cleanup', 'reject'], 'cleanup'],
  ] as const)('set %j, frames %j: %s', (of, frames, verdict) => {
    expect(garmentVerdict({ findings: found(...of), frames })).toBe(verdict);
  });
});

describe('the tables', () => {
  it.each([
    ['frame', frameTable],
    ['garment', garmentTable],
  ])('%s: every row gives its reason', (_, table) => {
    for (const { because } of table) expect(because).toMatch(/^[A-Z].*[a-z].*\.$/);
  });

  const severity = fc.array(fc.constantFrom(...severities), { maxLength: 6 });

  it('notes change no verdict, order changes none, and one more finding never improves a frame', () => {
    const gravity = ['pass', 'cleanup', 'reject'];
    fc.assert(
      fc.property(severity, fc.constantFrom(...severities), (of, extra) => {
        const verdict = frameVerdict({ readable: true, findings: found(...of) });
        expect(frameVerdict({ readable: true, findings: found(...of, 'note') })).toBe(verdict);
        expect(frameVerdict({ readable: true, findings: found(...[...of].reverse()) })).toBe(verdict);
        const more = frameVerdict({ readable: true, findings: found(...of, extra) });
        expect(gravity.indexOf(more)).toBeGreaterThanOrEqual(gravity.indexOf(verdict));
      }),
    );
  });

  it('one more finding never improves a garment, and one more passing frame never harms it', () => {
    const gravity = ['pass', 'cleanup', 'reshoot'];
    const verdicts = fc.array(fc.constantFrom(...frameVerdicts), { maxLength: 6 });
    fc.assert(
      fc.property(severity, fc.constantFrom(...severities), verdicts, (of, extra, frames) => {
        const verdict = garmentVerdict({ findings: found(...of), frames });
        const worse = garmentVerdict({ findings: found(...of, extra), frames });
        expect(gravity.indexOf(worse)).toBeGreaterThanOrEqual(gravity.indexOf(verdict));
        const better = garmentVerdict({ findings: found(...of), frames: [...frames, 'pass'] });
        expect(gravity.indexOf(better)).toBeLessThanOrEqual(gravity.indexOf(verdict));
      }),
    );
  });
});
