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

interface Truth {
  readonly frame: string;
  readonly crop: string;
  readonly view: string;
  readonly planted: readonly string[];
}

const folder = join(root, 'samples', 'truth');
const truth = (frame: string): Truth =>
  JSON.parse(readFileSync(join(folder, frame.replace(/jpg$/, 'json')), 'utf8')) as Truth;
const resultOf = (frame: string) => results('first').frames.find(({ id }) => id === frame);
const checksOf = (frame: string) => resultOf(frame)?.findings.map(({ check: is }) => is) ?? [];

/** Frame id to what was planted in it. */
function planted(): ReadonlyMap<string, readonly string[]> {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) =>
    name.endsWith('.json'),
  );
  return new Map(
    files.map((name) => {
      const { frame, planted: ids } = JSON.parse(readFileSync(join(folder, name), 'utf8')) as Truth;
      return [frame, ids] as const;
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

  it('finds the passers-by and the wide aperture that were planted', () => {
    expect(checksOf('tea-dress/a-0447.jpg')).toContain('background-person');
    expect(checksOf('tea-dress/a-0450.jpg')).toContain('wide-aperture');
    expect(planted().get('tea-dress/a-0447.jpg')).toContain('background-person');
    expect(planted().get('tea-dress/a-0450.jpg')).toContain('wide-aperture');
  });

  it('sees nobody behind the model where nobody was planted', () => {
    const alone = [...planted()]
      .filter(([, ids]) => !ids.includes('background-person'))
      .map(([frame]) => frame);
    expect(alone.length).toBeGreaterThan(5);
    for (const frame of alone) expect(checksOf(frame), frame).not.toContain('background-person');
  });

  it('asks nobody to mend or shoot again a view of the model without a fault', () => {
    const clean = [...planted()].filter(([frame, ids]) => ids.length === 0 && truth(frame).crop !== 'detail');
    expect(clean.length).toBeGreaterThan(5);
    for (const [frame] of clean) expect(resultOf(frame)?.verdict, frame).toBe('pass');
  });

  it('tells crop and view as they were set up, a three-quarter view counted with its neighbours', () => {
    for (const frame of planted().keys()) {
      const { crop, view } = truth(frame);
      if (crop === 'detail') continue;
      const framing = resultOf(frame)?.measurement?.framing;
      expect(framing?.crop, frame).toBe(crop);
      const near = view === 'three-quarter' ? ['front', 'three-quarter', 'side'] : [view, 'three-quarter'];
      expect(near, frame).toContain(framing?.view);
    }
  });

  it('finds the model on every frame that can be read', () => {
    for (const { id, measurement } of results('first').frames) {
      if (measurement) expect(measurement.people.subjects, id).toHaveLength(1);
    }
  });
});
