import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { measureDrift, type SetFrame } from '../../../pipeline/judge/drift.ts';
import { openComparedSets } from '../../../pipeline/tasks/compared-sets.ts';
import { colourUnder } from '../../helpers/lit-colours.ts';
import { aMeasurement } from '../../helpers/measurement.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

const set = (...mired: readonly number[]): SetFrame[] =>
  mired.map((at, index) => ({
    id: `dress/${index}.jpg`,
    measurement: {
      ...aMeasurement({ colour: colourUnder(at) }),
      contentHash: at.toString(16).padStart(64, '0'),
    },
  }));

/** Whose swatches nobody may ask for. */
const unreadable = (frames: readonly SetFrame[]): SetFrame[] =>
  frames.map(({ id, measurement }) => {
    const colour = Object.defineProperty({ ...measurement.colour }, 'swatches', {
      get: () => {
        throw new Error('compared again');
      },
    });
    return { id, measurement: { ...measurement, colour } };
  });

async function comparedOnce(...sets: readonly SetFrame[][]): Promise<string> {
  const cache = scratchFolder();
  const compared = await openComparedSets(cache, 'v1');
  for (const frames of sets) compared.driftOf(frames);
  await compared.keep();
  return cache;
}

describe('sets that were compared before', () => {
  const frames = set(0, 1, 40);

  it('are not compared again, and give the same to the last digit', async () => {
    const compared = await openComparedSets(await comparedOnce(frames), 'v1');
    expect(compared.driftOf(unreadable(frames))).toEqual(measureDrift(frames));
  });

  it('are compared again under another version, with another frame, another picture or another name', async () => {
    const cache = await comparedOnce(frames);
    const { driftOf } = await openComparedSets(cache, 'v1');
    expect(() => driftOf(unreadable(set(0, 1, 40, 2)))).toThrow('compared again');
    expect(() => driftOf(unreadable(set(0, 1, 41)))).toThrow('compared again');
    expect(() => driftOf(unreadable(frames.map((frame) => ({ ...frame, id: `x/${frame.id}` }))))).toThrow(
      'compared again',
    );
    const later = await openComparedSets(cache, 'v2');
    expect(() => later.driftOf(unreadable(frames))).toThrow('compared again');
  });

  it('are forgotten once nobody asks for them, so that the file does not grow', async () => {
    const others = set(5, 6, 7);
    const cache = await comparedOnce(frames, others);
    const second = await openComparedSets(cache, 'v1');
    second.driftOf(frames);
    second.driftOf(set(8, 9, 10));
    await second.keep();
    const third = await openComparedSets(cache, 'v1');
    expect(() => third.driftOf(unreadable(others))).toThrow('compared again');
    expect(third.driftOf(unreadable(frames))).toEqual(measureDrift(frames));
    expect(readdirSync(cache)).toHaveLength(1);
  });

  it('are compared again where the file is broken', async () => {
    const cache = await comparedOnce(frames);
    const path = join(cache, readdirSync(cache)[0] ?? '');
    const whole = readFileSync(path, 'utf8');
    for (const broken of ['', whole.slice(0, -9), whole.replace('"mired":', '"mirid":'), '[]']) {
      writeFileSync(path, broken);
      const { driftOf } = await openComparedSets(cache, 'v1');
      expect(() => driftOf(unreadable(frames))).toThrow('compared again');
    }
  });

  it('says so where they cannot be kept', async () => {
    const cache = join(scratchFolder(), 'cache');
    const compared = await openComparedSets(cache, 'v1');
    compared.driftOf(frames);
    writeFileSync(cache, 'a file where the store should be');
    await expect(compared.keep()).rejects.toMatchObject({ code: 'out-not-written' });
  });
});
