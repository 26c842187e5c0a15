import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Results } from '../../pipeline/contracts/results.ts';

/** The whole job with the real networks on the demo delivery, whose frames are rendered and whose faults are known. */

const root = fileURLToPath(new URL('../..', import.meta.url));
const delivery = join(root, 'samples', 'delivery');
const scratch = mkdtempSync(join(tmpdir(), 'nightrail-e2e-'));

interface Summary {
  readonly measured: number;
}

/** Runs the command as a user would, from another folder. */
function check(out: string, ...more: string[]): Summary {
  const launcher = join(root, 'workers', 'nightrail.js');
  const decisions = join(scratch, `${out}-decisions.csv`);
  const args = [launcher, 'check', delivery, '--out', out, '--decisions', decisions, '--json', ...more];
  const { status, stdout, stderr } = spawnSync(process.execPath, args, { cwd: scratch, encoding: 'utf8' });
  expect([0, 1], stderr).toContain(status);
  return JSON.parse(stdout) as Summary;
}

const read = (path: string): string => readFileSync(join(scratch, path), 'utf8');
const results = (out: string): Results => JSON.parse(read(`${out}/results.json`)) as Results;

/** Frame id to what was planted in it. */
function planted(): ReadonlyMap<string, readonly string[]> {
  const folder = join(root, 'samples', 'truth');
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) =>
    name.endsWith('.json'),
  );
  return new Map(
    files.map((name) => {
      const truth = JSON.parse(readFileSync(join(folder, name), 'utf8')) as {
        frame: string;
        planted: string[];
      };
      return [truth.frame, truth.planted] as const;
    }),
  );
}

let first: Summary;
let second: Summary;

beforeAll(() => {
  first = check('first', '--workers', '2');
  second = check('first', '--workers', '2');
  check('alone', '--workers', '1');
}, 600_000);
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

describe('the demo delivery', () => {
  it('is measured whole, and not again on the second run', () => {
    const { frames } = results('first');
    expect(frames.length).toBeGreaterThanOrEqual(10);
    expect(first.measured).toBe(frames.length);
    expect(second.measured).toBe(0);
  });

  it('gives the same results with one worker as with two, apart from `run`', () => {
    expect({ ...results('alone'), run: null }).toEqual({ ...results('first'), run: null });
  });

  // Ajv is an independent implementation of JSON Schema 2020-12.
  it('writes results that fit the schema published beside them', () => {
    const validate = new Ajv2020({ strict: false }).compile(JSON.parse(read('first/results.schema.json')));
    expect(validate(results('first')), JSON.stringify(validate.errors)).toBe(true);
    expect(validate({ ...results('first'), schema: 'other' })).toBe(false);
  });

  it('finds every planted fault in the frame it was planted in', () => {
    const found = new Map(
      results('first').frames.map(({ id, findings }) => [id, findings.map(({ check: is }) => is)]),
    );
    const faults = [...planted()].flatMap(([frame, ids]) => ids.map((id) => ({ frame, id })));
    expect(faults.length).toBeGreaterThan(0);
    expect(faults.filter(({ frame, id }) => !found.get(frame)?.includes(id))).toEqual([]);
  });

  it('asks nobody to mend or shoot again a frame without a fault', () => {
    const clean = new Set([...planted()].filter(([, ids]) => ids.length === 0).map(([frame]) => frame));
    expect(clean.size).toBeGreaterThan(0);
    const flagged = results('first')
      .frames.filter(({ id }) => clean.has(id))
      .flatMap(({ id, findings }) =>
        findings
          .filter(({ severity }) => severity !== 'note')
          .map(({ check: is, title }) => `${id}: ${is}, ${title}`),
      );
    expect(flagged).toEqual([]);
  });

  it('finds the model on every frame that can be read', () => {
    for (const { id, measurement } of results('first').frames) {
      if (measurement) expect(measurement.people.subjects, id).toHaveLength(1);
    }
  });
});
