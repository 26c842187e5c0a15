/** The retoucher's masks: as large as their frames, made when they are first asked for and kept in the measurement store. */
import { stat } from 'node:fs/promises';
import type { Results } from '../contracts/results.ts';
import { enlargeMask } from '../decode/enlarge-mask.ts';
import { type Job, retouchJobs } from '../report/retouch-jobs.ts';
import { writeFileAtomic } from '../store/atomic-write.ts';
import { evidencePath } from '../store/measurement-store.ts';
import { readIfThere } from '../store/read-if-there.ts';
import type { RunFile } from './written-documents.ts';

/** Masks made at once: each holds a whole frame's px for a moment. */
const atOnce = 2;

async function placed({ frame, mask }: Job, cache: string, version: string): Promise<readonly RunFile[]> {
  const { measurement } = frame;
  if (measurement === null || mask === null) return [];
  const { contentHash, file } = measurement;
  const kept = evidencePath(cache, contentHash, version, `full-${mask.madeFrom}`);
  if ((await stat(kept).catch(() => null)) === null) {
    const small = await readIfThere(evidencePath(cache, contentHash, version, mask.madeFrom));
    if (small === null) return [];
    await writeFileAtomic(kept, await enlargeMask(small, file.width, file.height));
  }
  return [{ path: mask.path, from: kept }];
}

/**
 * @param cache folder of the measurement store.
 * @param version measurement version.
 * @returns one file for each person on the retoucher's list.
 */
export async function fullSizeMasks(
  results: Results,
  cache: string,
  version: string,
): Promise<readonly RunFile[]> {
  const jobs = retouchJobs(results);
  const files: RunFile[] = [];
  for (let start = 0; start < jobs.length; start += atOnce) {
    const some = jobs.slice(start, start + atOnce).map((job) => placed(job, cache, version));
    files.push(...(await Promise.all(some)).flat());
  }
  return files;
}
