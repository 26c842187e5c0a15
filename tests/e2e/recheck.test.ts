import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { paintOut } from '../helpers/paint-out.ts';

/** There and back with the real networks: a frame with two passers-by goes to the retoucher, who takes one of them out. */

const root = fileURLToPath(new URL('../..', import.meta.url));
const scratch = mkdtempSync(join(tmpdir(), 'nightrail-recheck-'));
const report = join(scratch, 'report');
const frame = 'tea-dress/a-0447.jpg';

function nightrail(...args: string[]): { readonly status: number | null; readonly stdout: string } {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [join(root, 'workers', 'nightrail.js'), ...args],
    { cwd: scratch, encoding: 'utf8' },
  );
  expect([0, 1], stderr).toContain(status);
  return { status, stdout };
}

const rows = (path: string): readonly Record<string, string>[] =>
  parse(readFileSync(join(report, path)), { bom: true, columns: true });
const people = () => rows('retouch-list.csv').filter((row) => row.check === 'background-person');
const outcomes = () =>
  new Map(
    rows('recheck.csv')
      .filter((row) => row.check === 'background-person')
      .map((row) => [row.before, row.outcome]),
  );

beforeAll(() => {
  mkdirSync(join(scratch, 'day', 'tea-dress'), { recursive: true });
  copyFileSync(join(root, 'samples', 'delivery', frame), join(scratch, 'day', frame));
  nightrail('check', 'day', '--out', report);
}, 180_000);

afterAll(() => rmSync(scratch, { recursive: true, force: true }));

describe('a frame with two passers-by', () => {
  it('is on the retoucher’s list with a mask for each of them', () => {
    expect(people().map((row) => row.frame)).toEqual([frame, frame]);
    expect(new Set(people().map((row) => row.mask)).size).toBe(2);
  });

  it('the one who was painted out is cleared, the one who was left is still there', async () => {
    const [left, gone] = people();
    const mask = readFileSync(join(report, gone?.mask ?? ''));
    mkdirSync(join(scratch, 'retouched'));
    writeFileSync(
      join(scratch, 'retouched', 'a-0447_clean.jpg'),
      await paintOut(readFileSync(join(scratch, 'day', frame)), mask),
    );
    const { status, stdout } = nightrail('recheck', 'retouched', '--report', report);
    expect(status).toBe(1);
    expect(outcomes().get(gone?.measured ?? '')).toBe('cleared');
    expect(outcomes().get(left?.measured ?? '')).toBe('still there');
    expect(stdout).toMatch(/cleared: Background person/);
  }, 180_000);

  it('a file that was not touched clears nothing', () => {
    rmSync(join(scratch, 'retouched'), { recursive: true });
    mkdirSync(join(scratch, 'retouched'));
    copyFileSync(join(scratch, 'day', frame), join(scratch, 'retouched', 'a-0447.jpg'));
    nightrail('recheck', 'retouched', '--report', report);
    expect([...new Set(rows('recheck.csv').map((row) => row.outcome))]).toEqual(['still there']);
  }, 180_000);
});
