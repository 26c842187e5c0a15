/**
 * How the frames of each garment's set compare, kept from one run to the next: `<cache>/drift-<version>.json`. It follows from the
 * measurements alone, so a changed limit need not compare them again. A broken or foreign file counts as missing.
 */
import { join } from 'node:path';
import type { Drift } from '../contracts/results.ts';
import { keptDriftSchema } from '../contracts/stored.ts';
import { writeFileAtomic } from './atomic-write.ts';
import { readIfThere } from './read-if-there.ts';

const pathOf = (cache: string, version: string): string => join(cache, `drift-${version}.json`);

/**
 * @param version of everything that decides how sets compare.
 * @returns key of a set to its drift.
 * @throws The system's error where the store is there but cannot be read.
 */
export async function readKeptDrift(cache: string, version: string): Promise<ReadonlyMap<string, Drift>> {
  const file = await readIfThere(pathOf(cache, version));
  if (file === null) return new Map();
  try {
    const parsed = keptDriftSchema.safeParse(JSON.parse(file.toString('utf8')));
    return new Map(parsed.success ? Object.entries(parsed.data.sets) : []);
  } catch (error) {
    if (error instanceof SyntaxError) return new Map();
    throw error;
  }
}

/** Keeps these sets and no others. Throws the system's error. */
export async function writeKeptDrift(
  cache: string,
  version: string,
  sets: ReadonlyMap<string, Drift>,
): Promise<void> {
  const kept = { schema: 'nightrail/kept-drift@1', sets: Object.fromEntries(sets) };
  await writeFileAtomic(pathOf(cache, version), `${JSON.stringify(keptDriftSchema.parse(kept))}\n`);
}
