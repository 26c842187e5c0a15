/**
 * The drift of each set of frames, from the store where the same frames were compared before: comparing costs some ten times as
 * much as all other judging, and no limit changes what comes out.
 */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import type { Drift } from '../contracts/results.ts';
import { codedError } from '../errors.ts';
import { measureDrift, type SetFrame } from '../judge/drift.ts';
import { once } from '../numeric/once.ts';
import { readKeptDrift, writeKeptDrift } from '../store/drift-store.ts';
import { systemCode, systemMeaning } from '../store/system-error.ts';

export interface ComparedSets {
  driftOf(frames: readonly SetFrame[]): Drift;
  /**
   * Keeps the sets that were asked for since the last time, where any of them is new, and forgets the others.
   * @throws CodedError `out-not-written`.
   */
  keep(): Promise<void>;
}

/** The code that compares, whatever else it rests on being part of the measurement version. */
const comparingCode = once((): string => {
  const judge = new URL('../judge/', import.meta.url);
  const files = readdirSync(new URL('drift/', judge)).map((name) => `drift/${name}`);
  return ['drift.ts', ...files.sort()].map((path) => readFileSync(new URL(path, judge), 'utf8')).join('\0');
});

const digest = (text: string): string => createHash('sha256').update(text).digest('hex');

const keyOf = (frames: readonly SetFrame[]): string =>
  digest(JSON.stringify(frames.map(({ id, measurement }) => [id, measurement.contentHash])));

/**
 * @param cache folder of the measurement store.
 * @param version measurement version.
 */
export async function openComparedSets(cache: string, version: string): Promise<ComparedSets> {
  const own = digest(`${version}\0${comparingCode()}`).slice(0, 12);
  let known = await readKeptDrift(cache, own);
  let asked = new Map<string, Drift>();
  return {
    driftOf(frames) {
      const key = keyOf(frames);
      const drift = known.get(key) ?? asked.get(key) ?? measureDrift(frames);
      asked.set(key, drift);
      return drift;
    },
    async keep() {
      const isNew = [...asked.keys()].some((key) => !known.has(key));
      known = asked;
      asked = new Map();
      if (!isNew) return;
      try {
        await writeKeptDrift(cache, own, known);
      } catch (error) {
        if (systemCode(error) === null) throw error;
        throw codedError('out-not-written', { path: cache, what: systemMeaning(error) }, error);
      }
    },
  };
}
