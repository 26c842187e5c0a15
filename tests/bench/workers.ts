/**
 * What further worker processes bring on real frames: `npm run bench:workers -- [frames]`, by default 24.
 * Each of 1, 2 and 4 processes of one thread gets so many frames from all over the demo, as files of their own that no store knows.
 * Efficiency: rate over the rate of one process times the number of processes, or of cores where these are fewer.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import pino from 'pino';
import type { DeliveredFrame, Delivery } from '../../pipeline/contracts/delivery.ts';
import { measurementVersion } from '../../pipeline/measure/version.ts';
import { parseRedisUrl } from '../../workers/queue/connection.ts';
import { createQueueDispatcher } from '../../workers/queue/dispatcher.ts';
import { sharedFolder } from '../../workers/queue/shared-folder.ts';
import { usualTiming } from '../../workers/queue/timing.ts';
import { startRedis } from '../helpers/redis-server.ts';

const framesPerWorker = Number(process.argv[2] ?? 24);
const project = fileURLToPath(new URL('../..', import.meta.url));
const demo = join(project, 'samples', 'delivery');
/** The demo's one damaged file, cut off before its end of image (ITU-T T.81, table B.1), is no work. */
const endOfImage = Buffer.from([0xff, 0xd9]);
const allPictures = readdirSync(demo, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.jpg'))
  .sort()
  .map((name) => readFileSync(join(demo, name)))
  .filter((jpeg) => jpeg.subarray(-2).equals(endOfImage));
/** The same for each number of processes. */
const pictures = Array.from(
  { length: framesPerWorker },
  (_, index) => allPictures[Math.floor((index * allPictures.length) / framesPerWorker)] ?? Buffer.alloc(0),
);

/** The same picture in another file: a comment after the start of the image (ITU-T T.81, B.2.4.5). */
function renamed(jpeg: Buffer, name: string): Buffer {
  const text = Buffer.from(name);
  const head = Buffer.from([0xff, 0xfe, 0, text.length + 2]);
  return Buffer.concat([jpeg.subarray(0, 2), head, text, jpeg.subarray(2)]);
}

function layDelivery(root: string, count: number): Delivery {
  mkdirSync(root);
  const frames: DeliveredFrame[] = Array.from({ length: count }, (_, index) => {
    const path = join(root, `${index}.jpg`);
    writeFileSync(path, renamed(pictures[index % pictures.length] ?? Buffer.alloc(0), path));
    return { id: `${index}.jpg`, garment: 'all', path };
  });
  const all = { id: 'all', frames: frames.map(({ id }) => id), required: null, columns: {} };
  return { root, garments: [all], frames, remarks: [] };
}

async function startWorker(url: string): Promise<ChildProcess> {
  const child = spawn(
    process.execPath,
    [join(project, 'workers', 'nightrail.js'), 'worker', '--redis', url, '--threads', '1'],
    { stdio: ['ignore', 'inherit', 'pipe'] },
  );
  await new Promise<void>((resolve, reject) => {
    child.stderr.on('data', (text) => String(text).includes('Serving') && resolve());
    child.once('exit', (code) => reject(new Error(`a worker ended with ${code}`)));
  });
  return child;
}

/** Frames a minute while all workers are busy: the last frame of each, where others have no further one, is left out. */
function steadyRate(cache: string, workers: number): number {
  const finishedMs = readdirSync(cache)
    .filter((name) => name.endsWith('.json'))
    .map((name) => statSync(join(cache, name)).mtimeMs)
    .sort((a, b) => a - b)
    .slice(0, 1 - workers || undefined);
  return (finishedMs.length - 1) / (((finishedMs.at(-1) ?? 0) - (finishedMs[0] ?? 0)) / 60_000);
}

async function rateOf(workers: number): Promise<number> {
  const folder = mkdtempSync(join(tmpdir(), 'nightrail-bench-'));
  const redis = await startRedis();
  const started = await Promise.all(Array.from({ length: workers }, () => startWorker(redis.url)));
  async function measure(name: string, count: number): Promise<string> {
    const cache = join(folder, `${name}-cache`);
    const dispatcher = createQueueDispatcher({
      address: parseRedisUrl(redis.url),
      prefix: 'nightrail',
      version: measurementVersion(),
      cache,
      folder: sharedFolder('/'),
      timing: usualTiming,
      urgent: new Set(),
      log: pino({ level: 'silent' }),
      notify: (sentence) => console.error(sentence),
    });
    const outcomes = await dispatcher.measure(
      layDelivery(join(folder, name), count),
      () => undefined,
      new AbortController().signal,
    );
    await dispatcher.close();
    if (outcomes.some(({ ok }) => !ok))
      throw new Error(`a frame was not measured: ${JSON.stringify(outcomes)}`);
    return cache;
  }
  try {
    // Loading code and networks is not what is asked.
    await measure('warm-up', 2 * workers);
    return steadyRate(await measure('timed', workers * framesPerWorker), workers);
  } finally {
    for (const child of started) child.kill('SIGKILL');
    await redis.dispose();
    rmSync(folder, { recursive: true, force: true });
  }
}

const cores = availableParallelism();
let alone = Number.NaN;
for (const workers of [1, 2, 4]) {
  const rate = await rateOf(workers);
  if (workers === 1) alone = rate;
  const efficiency = rate / (alone * Math.min(workers, cores));
  console.log(
    `${workers} worker processes on ${cores} cores: ${rate.toFixed(1)} frames a minute, efficiency ${efficiency.toFixed(2)}`,
  );
}
