/**
 * What the queue costs by itself: frames whose measuring only sleeps for a millisecond.
 * `npm run bench:queue -- [frames ...]`, by default 1,000, 10,000 and 100,000; figures go to standard output.
 * Overhead of a frame: from the end of one frame's sleep to the begin of the next in the same slot of a worker, that is
 * acknowledging the one and fetching the other, under full load.
 */
import { fork } from 'node:child_process';
import { setTimeout as delay } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { FlowProducer, Queue } from 'bullmq';
import { Redis } from 'ioredis';
import pino from 'pino';
import { parseRedisUrl, patient } from '../../workers/queue/connection.ts';
import { follow } from '../../workers/queue/follow.ts';
import { newRunId, queueNames } from '../../workers/queue/names.ts';
import { openRuns } from '../../workers/queue/runs.ts';
import { serve } from '../../workers/queue/serve.ts';
import { sharedFolder } from '../../workers/queue/shared-folder.ts';
import { inParts, submit } from '../../workers/queue/submit.ts';
import { unreadEvents, usualTiming } from '../../workers/queue/timing.ts';
import { startRedis } from '../helpers/redis-server.ts';

const version = 'bench';
const prefix = 'bench';
const workers = 2;
/** Frames in hand at once in each worker: many, since they only sleep. */
const atOnce = 64;
const framesPerGarment = 10;
const self = fileURLToPath(import.meta.url);
const log = pino({ level: 'silent' });

function percentile(sorted: readonly number[], share: number): number {
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? 0;
}

/** A worker that sleeps instead of measuring, and keeps what the queue cost. */
function work(url: string): void {
  const overheadsMs: number[] = [];
  let began = process.cpuUsage();
  // Slots that wait for their next frame, the longest first.
  const freeSinceMs: number[] = [];
  const serving = serve({
    address: parseRedisUrl(url),
    prefix,
    version,
    folder: sharedFolder('/'),
    threads: atOnce,
    timing: usualTiming,
    log,
    measure: async ({ frameId }) => {
      // Loading the code is not the queue's cost.
      if (freeSinceMs.length === 0 && overheadsMs.length === 0) began = process.cpuUsage();
      const free = freeSinceMs.shift();
      if (free !== undefined) overheadsMs.push(performance.now() - free);
      await delay(1);
      freeSinceMs.push(performance.now());
      return { ok: true, frameId, contentHash: frameId.slice(-64), fromCache: false };
    },
    unfit: () => undefined,
  });
  process.on('message', () => {
    overheadsMs.sort((a, b) => a - b);
    const { user, system } = process.cpuUsage(began);
    process.send?.({
      medianMs: percentile(overheadsMs, 0.5),
      p99Ms: percentile(overheadsMs, 0.99),
      cpuMs: (user + system) / 1000,
    });
    serving.drain().then(
      () => process.exit(0),
      () => process.exit(1),
    );
  });
}

/** Submits so many frames and follows them to the end, in a process of its own so that its memory can be told. */
async function submitFrames(url: string, count: number): Promise<void> {
  const address = parseRedisUrl(url);
  const names = queueNames(prefix, version);
  const connection = patient(address);
  const redis = new Redis(connection);
  const runs = openRuns(redis, names.prefix);
  const flows = new FlowProducer({ connection, prefix: names.prefix });
  const deliveries = new Queue(names.deliveries, { connection, prefix: names.prefix, streams: unreadEvents });
  const since = new Date().toISOString();
  const run = {
    run: newRunId(),
    delivery: 'shoot',
    out: 'out',
    host: 'bench',
    pid: process.pid,
    since,
    version,
    total: count,
  };
  const beforeMb = process.memoryUsage.rss() / 2 ** 20;
  const garments = Array.from({ length: Math.ceil(count / framesPerGarment) }, (_, garment) => ({
    urgent: false,
    frames: Array.from(
      { length: Math.min(framesPerGarment, count - garment * framesPerGarment) },
      (_, frame) => {
        const contentHash = String(garment * framesPerGarment + frame).padStart(64, '0');
        return { path: `shoot/garment-${garment}/${contentHash}`, contentHash };
      },
    ),
  }));
  const beganMs = performance.now();
  await runs.begin(run);
  await submit(
    flows,
    { run: run.run, delivery: 'shoot', cache: 'out/cache', garments: inParts(garments) },
    names,
    usualTiming,
  );
  const submittedMs = performance.now() - beganMs;
  const reply = await follow({
    run,
    runs,
    deliveries,
    followMs: usualTiming.followMs,
    signal: new AbortController().signal,
    keepHold: async () => undefined,
    onFinished: () => undefined,
    notify: (sentence) => console.error(sentence),
  });
  const tookMs = performance.now() - beganMs;
  if (reply === null || Object.keys(reply).length > 0)
    throw new Error(`not all frames came through: ${JSON.stringify(reply)}`);
  const peakMb = process.resourceUsage().maxRSS / 1024;
  process.send?.({ submittedMs, tookMs, grownMb: peakMb - beforeMb, peakMb });
  await Promise.all([flows.close(), deliveries.close()]);
  redis.disconnect();
  process.disconnect?.();
}

type Figures = Readonly<Record<string, number>>;

function child(role: string, ...args: string[]) {
  const started = fork(self, [role, ...args], { execArgv: process.execArgv });
  const answer = new Promise<Figures>((resolve, reject) => {
    started.once('message', (figures) => resolve(figures as Figures));
    started.once('exit', (code) => reject(new Error(`${role} ended with ${code}`)));
  });
  answer.catch(() => undefined);
  const kill = (): void => void started.kill('SIGKILL');
  process.once('exit', kill);
  started.once('exit', () => process.off('exit', kill));
  return { started, answer };
}

async function bench(count: number): Promise<void> {
  const server = await startRedis();
  const redis = new Redis(parseRedisUrl(server.url).options);
  const redisCpuMs = async (): Promise<number> =>
    [...(await redis.info('cpu')).matchAll(/used_cpu_(?:sys|user):([\d.]+)/g)].reduce(
      (sum, [, seconds]) => sum + 1000 * Number(seconds),
      0,
    );
  const used = async (): Promise<number> =>
    Number(/used_memory:(\d+)/.exec(await redis.info('memory'))?.[1] ?? 0) / 2 ** 20;
  const emptyMb = await used();
  let peakMb = emptyMb;
  const looking = setInterval(() => {
    used().then(
      (mb) => {
        peakMb = Math.max(peakMb, mb);
      },
      () => undefined,
    );
  }, 100);
  const busy = Array.from({ length: workers }, () => child('worker', server.url));
  // Until both have loaded: starting Node is not the queue's cost.
  await delay(6000);
  const redisBeforeMs = await redisCpuMs();
  const submitter = child('submit', server.url, String(count));
  const submitted = await submitter.answer;
  clearInterval(looking);
  const worked: Figures[] = [];
  for (const { started, answer } of busy) {
    const gone = new Promise((resolve) => started.once('exit', resolve));
    started.send('stop');
    worked.push(await answer);
    await gone;
  }
  const redisMs = ((await redisCpuMs()) - redisBeforeMs) / count;
  const workersMs = worked.reduce((sum, { cpuMs = 0 }) => sum + cpuMs, 0) / count;
  const figure = (name: string): number =>
    worked.reduce((sum, each) => sum + (each[name] ?? 0), 0) / worked.length;
  console.log(
    [
      `${count} frames`,
      `${Math.round(count / ((submitted.tookMs ?? 0) / 1000))} a second`,
      `overhead median ${figure('medianMs').toFixed(2)} ms, 99th ${figure('p99Ms').toFixed(2)} ms`,
      `processor time a frame: workers ${workersMs.toFixed(2)} ms, Redis ${redisMs.toFixed(2)} ms`,
      `submitted in ${Math.round(submitted.submittedMs ?? 0)} ms`,
      `submitter grew by ${Math.round(submitted.grownMb ?? 0)} MiB to ${Math.round(submitted.peakMb ?? 0)} MiB`,
      `Redis peak ${peakMb.toFixed(1)} MiB, empty ${emptyMb.toFixed(1)} MiB, afterwards ${(await used()).toFixed(1)} MiB`,
    ].join('; '),
  );
  redis.disconnect();
  await server.dispose();
}

const [role, ...args] = process.argv.slice(2);
if (role === 'worker') work(args[0] ?? '');
else if (role === 'submit') await submitFrames(args[0] ?? '', Number(args[1]));
else
  for (const count of role === undefined ? [1000, 10_000, 100_000] : [role, ...args].map(Number))
    await bench(count);
