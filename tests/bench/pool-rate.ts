/** Frames a second and memory of the product's own pool of measuring threads. */
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pino from 'pino';
import { measurementVersion } from '../../pipeline/measure/version.ts';
import { createFramePool } from '../../workers/pool/frame-pool.ts';
import { threadBudget } from '../../workers/thread-budget.ts';
import { renumbered } from './bench-frames.ts';

export interface PoolRate {
  readonly framesPerS: number;
  /** Resident memory of the measuring process over the number of workers, MiB: the most at any time. */
  readonly peakMib: number;
  /** The same after each frame, in order. */
  readonly residentMib: readonly number[];
}

async function statusMib(pid: string, field: 'VmHWM' | 'VmRSS'): Promise<number> {
  const status = await readFile(`/proc/${pid}/status`, 'utf8');
  return Number(new RegExp(`${field}:\\s+(\\d+)`).exec(status)?.[1]) / 1024;
}

/** The process that holds the threads: the child of this one that runs `host.js`. */
async function hostPid(): Promise<string> {
  const children = (await readFile(`/proc/${process.pid}/task/${process.pid}/children`, 'utf8')).trim();
  for (const pid of children.split(' ')) {
    if ((await readFile(`/proc/${pid}/cmdline`, 'utf8')).includes('host.js')) return pid;
  }
  throw new Error('The measuring process was not found among the children of this one.');
}

/**
 * Measures so many copies of one frame, each under a content hash of its own and none of them known before.
 * The first ten of every worker warm up and are not counted: until then V8 compiles, on threads of its own that a single worker leaves
 * idle cores to and two workers do not.
 */
export async function poolRate(jpeg: Buffer, workers: number, frames: number): Promise<PoolRate> {
  const folder = await mkdtemp(join(tmpdir(), 'nightrail-bench-'));
  const cache = join(folder, 'cache');
  await mkdir(cache);
  const version = measurementVersion();
  const pool = createFramePool({
    budget: threadBudget(workers),
    frameTimeoutMs: 600_000,
    log: pino({ level: 'silent' }),
  });
  const warmUp = 10 * workers;
  const residentMib: number[] = [];
  let next = 0;
  let counted = 0;
  let beganMs = 0;
  let endedMs = 0;
  let host = '';
  const work = async (): Promise<void> => {
    while (next < warmUp + frames) {
      const number = next++;
      const path = join(folder, `${number}.jpg`);
      await writeFile(path, renumbered(jpeg, number));
      const outcome = await pool.measure({ frameId: String(number), path, cache, version });
      if (!outcome?.ok) throw new Error(`Frame ${number} was not measured: ${JSON.stringify(outcome)}`);
      await rm(path);
      host = host === '' ? await hostPid() : host;
      residentMib.push((await statusMib(host, 'VmRSS')) / workers);
      counted++;
      if (counted === warmUp) beganMs = performance.now();
      endedMs = performance.now();
    }
  };
  try {
    await Promise.all(Array.from({ length: workers }, work));
    return {
      framesPerS: (1000 * (counted - warmUp)) / (endedMs - beganMs),
      peakMib: (await statusMib(host, 'VmHWM')) / workers,
      residentMib,
    };
  } finally {
    await pool.close();
    await rm(folder, { recursive: true });
  }
}
