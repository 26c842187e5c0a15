import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { checks } from '../../pipeline/checks/index.ts';
import { units } from '../../pipeline/contracts/check.ts';
import { severities } from '../../pipeline/contracts/finding.ts';
import { defaultText } from '../helpers/profile.ts';

const folder = (name: string) => fileURLToPath(new URL(`../../pipeline/checks/${name}`, import.meta.url));
const filesIn = (name: string) => readdirSync(folder(name)).map((file) => file.replace(/\.ts$/, ''));
const where = { file: 'frame', frame: 'frame', set: 'garment', garment: 'garment' } as const;
const written = JSON.parse(defaultText) as {
  readonly checks: Readonly<Record<string, Readonly<Record<string, unknown>>>>;
};

describe('every check', () => {
  it('is one file in its folder and one line in the list', () => {
    const listed = (of: string) =>
      checks.filter(({ level }) => where[level] === of).map(({ meta }) => meta.id);
    expect(listed('frame').sort()).toEqual(filesIn('frame').sort());
    expect(listed('garment').sort()).toEqual(filesIn('garment').sort());
    expect(new Set(checks.map(({ meta }) => meta.id)).size).toBe(checks.length);
  });

  it.each(checks.map((check) => [check.meta.id, check] as const))(
    '%s declares itself well',
    (id, { meta }) => {
      // A noun in the failing state: no verb of the kind people first think of.
      expect(id).toMatch(/^[a-z0-9]+(-[a-z0-9]+)+$/);
      expect(id).not.toMatch(/^(no|not|is|has|check|detect|find|test)-/);
      expect(meta.title).toMatch(/^[A-Z][^.]{3,50}$/);
      expect(meta.what).toMatch(/^[A-Z].{20,}\.$/);
      for (const severity of Object.values(meta.levels)) expect(severities).toContain(severity);
      for (const [name, quantity] of Object.entries(meta.quantities)) {
        expect(name).toMatch(/^[a-z][A-Za-z0-9]*$/);
        expect(name).not.toBe('off');
        expect(quantity.meaning).not.toBe('');
        if (quantity.bad === 'outside') continue;
        expect(Object.keys(units)).toContain(quantity.unit);
        // Mildest first, as the check's own list of levels has them.
        const order = Object.keys(meta.levels);
        const at = quantity.levels.map((level) => order.indexOf(level));
        expect(at).not.toContain(-1);
        expect(at).toEqual([...at].sort((a, b) => a - b));
        expect(quantity.levels.length).toBeGreaterThan(0);
      }
    },
  );

  it.each(checks.map((check) => [check.meta.id, check] as const))(
    '%s finds every limit it declares in the default profile, each with unit and source',
    (id, { meta }) => {
      const declared = Object.entries(meta.quantities).flatMap(([name, quantity]) =>
        quantity.bad === 'outside' ? [] : [[name, quantity] as const],
      );
      const own = written.checks[id];
      expect(Object.keys(own ?? {}).sort()).toEqual(declared.map(([name]) => name).sort());
      for (const [name, quantity] of declared) {
        const limits = own?.[name] as Readonly<Record<string, { unit: string; source: string }>>;
        expect(Object.keys(limits)).toEqual(quantity.levels);
        for (const limit of Object.values(limits)) {
          expect(limit.unit).toBe(quantity.unit);
          expect(limit.source.length).toBeGreaterThan(3);
        }
      }
    },
  );

  it('keeps its limits out of its own file: a number beside a limit word stands in the profile alone', () => {
    for (const { level, meta } of checks) {
      const file = `${folder(where[level])}/${meta.id}.ts`;
      expect(existsSync(file)).toBe(true);
      expect(readFileSync(file, 'utf8')).not.toMatch(/\b(cleanup|reject|note|unmeasured):\s*-?[\d.]+/);
    }
  });
});
