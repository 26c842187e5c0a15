/**
 * One worker of the queue: takes frames, measures them on this machine's threads, keeps them in the shared store.
 * It can be killed at any moment: what it had in hand is taken up by another one.
 */
import { hostname } from 'node:os';
import { setTimeout as delay } from 'node:timers/promises';
import { type Processor, type QueueOptions, Worker, type WorkerOptions } from 'bullmq';
import { Redis } from 'ioredis';
import type { Logger } from 'pino';
import type { FrameOutcome, FrameTask } from '../../pipeline/contracts/work.ts';
import { CodedError } from '../../pipeline/errors.ts';
import { patient, type RedisAddress } from './connection.ts';
import { queueNames } from './names.ts';
import {
  failureText,
  openingProcessor,
  processDelivery,
  processFrame,
  processGarment,
} from './processors.ts';
import { openRuns, type WorkerState } from './runs.ts';
import type { SharedFolder } from './shared-folder.ts';
import { maxLostWorkers, type QueueTiming, unreadEvents } from './timing.ts';

/** How many looks of a submitter a worker believes what it last heard about a run. */
const stoppedKnownLooks = 2;
/** A worker that has not been heard of for this many beats is gone. */
const missedBeats = 20;
/** `close` of BullMQ waits for a Redis that is down for as long as it is (bullmq issue 4656). */
const closeGraceMs = 5000;
/** Between two looks whether the frames in hand are finished. */
const inHandMs = 50;

export interface ServeOptions {
  readonly address: RedisAddress;
  readonly prefix: string;
  readonly version: string;
  readonly folder: SharedFolder;
  /** Frames measured at once. */
  readonly threads: number;
  readonly timing: QueueTiming;
  readonly log: Logger;
  measure(task: FrameTask): Promise<FrameOutcome | null>;
  /** This machine cannot measure at all: called once, with why. */
  unfit(error: CodedError): void;
}

export interface Serving {
  /** For whoever looks at this worker. */
  state(): WorkerState;
  /** Finishes the frames in hand, takes no other, tells Redis that this worker is gone. */
  drain(): Promise<void>;
}

/** Frames a minute over the last minute, from the times at which they were finished. */
function rateOf(times: number[], nowMs: number): number {
  while (times[0] !== undefined && nowMs - times[0] > 60_000) times.shift();
  return times.length;
}

/** Whether it was done in time; a failure counts as done. */
async function withinGrace(done: Promise<unknown>): Promise<boolean> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<false>((resolve) => {
    timer = setTimeout(() => resolve(false), closeGraceMs);
  });
  const inTime = await Promise.race([
    done.then(
      () => true as const,
      () => true as const,
    ),
    late,
  ]);
  clearTimeout(timer);
  return inTime;
}

export function serve(options: ServeOptions): Serving {
  const { address, prefix, version, folder, threads, timing, log } = options;
  const names = queueNames(prefix, version);
  const redis = new Redis(patient(address));
  // Each loss of the connection is one line; commands wait until it is back.
  redis.on('error', (error: Error) => log.warn({ err: error }, 'connection to Redis'));
  const runs = openRuns(redis, names.prefix);
  const worker = `${hostname()}-${process.pid}-${crypto.randomUUID().slice(0, 8)}`;
  const since = new Date().toISOString();
  const counts = { measured: 0, lost: 0 };
  const finishTimes: number[] = [];
  let closing = false;

  const stopped = new Map<string, { readonly atMs: number; readonly stopped: Promise<boolean> }>();
  function isStopped(run: string): Promise<boolean> {
    const known = stopped.get(run);
    if (known !== undefined && performance.now() - known.atMs < stoppedKnownLooks * timing.followMs)
      return known.stopped;
    if (stopped.size > 100) stopped.clear();
    const asked = { atMs: performance.now(), stopped: runs.isStopped(run) };
    stopped.set(run, asked);
    return asked.stopped;
  }

  let reports = new Map<string, { paths: string[]; lost: number }>();
  function finished(run: string, path: string, lost: boolean): void {
    counts.measured += 1;
    if (lost) counts.lost += 1;
    finishTimes.push(Date.now());
    const report = reports.get(run) ?? { paths: [], lost: 0 };
    report.paths.push(path);
    if (lost) report.lost += 1;
    reports.set(run, report);
  }

  async function flush(): Promise<void> {
    const sent = reports;
    reports = new Map();
    for (const [run, { paths, lost }] of sent) await runs.report(run, paths, lost);
  }

  const state = (): WorkerState => ({
    worker,
    host: hostname(),
    pid: process.pid,
    since,
    version,
    threads,
    ...counts,
    perMinute: rateOf(finishTimes, Date.now()),
  });

  let inHand = 0;
  const measure = async (task: FrameTask): Promise<FrameOutcome | null> => {
    inHand += 1;
    try {
      return await options.measure(task);
    } finally {
      inHand -= 1;
    }
  };

  let beating = Promise.resolve();
  const beat = setInterval(() => {
    beating = beating
      .then(flush)
      .then(() => (closing ? undefined : runs.beat(state(), timing.followMs * missedBeats)))
      .catch((error: unknown) => log.warn({ err: error }, 'could not tell Redis how far this worker is'));
  }, timing.followMs);

  const connection = patient(address);
  const queueOptions: QueueOptions = { connection, prefix: names.prefix, streams: unreadEvents };
  const opening = openingProcessor(names, timing, queueOptions, { isClosing: () => closing, isStopped });
  const frameWork = { version, folder, measure, isStopped, finished };

  let fit = true;
  function declareUnfit(error: CodedError): void {
    if (fit) options.unfit(error);
    fit = false;
  }

  function take(queue: string, concurrency: number, process: Processor, maxStalledCount: number): Worker {
    const settings: WorkerOptions = {
      connection,
      prefix: names.prefix,
      concurrency,
      lockDuration: timing.lockMs,
      stalledInterval: timing.stalledMs,
      maxStalledCount,
    };
    const taker = new Worker(
      queue,
      async (job, token) => {
        try {
          return await process(job, token);
        } catch (error) {
          if (error instanceof CodedError && error.code === 'measuring-not-possible') declareUnfit(error);
          throw new Error(failureText(error), { cause: error });
        }
      },
      settings,
    );
    taker.on('error', (error) => log.warn({ err: error, queue }, 'worker'));
    taker.on('stalled', (job) => log.warn({ job, queue }, 'taken over from a worker that was lost'));
    taker.on('failed', (job, error) => log.warn({ job: job?.id, queue, err: error }, 'job failed'));
    return taker;
  }

  const takers = [
    take(names.frames, threads, (job) => processFrame(job, frameWork), maxLostWorkers),
    // Only a frame can be at fault: the rest is taken over as often as workers are lost or too busy to hold it.
    take(names.openings, 1, (job) => opening.process(job), Number.MAX_SAFE_INTEGER),
    take(names.garments, 4, processGarment, Number.MAX_SAFE_INTEGER),
    take(names.deliveries, 1, processDelivery, Number.MAX_SAFE_INTEGER),
  ];

  return {
    state,
    async drain() {
      closing = true;
      // Nothing here may wait for a Redis that is down, and everything for the frames in hand.
      await withinGrace(Promise.all(takers.map((taker) => taker.pause(true))));
      while (inHand > 0) await delay(inHandMs);
      const closed = withinGrace(Promise.all(takers.map((taker) => taker.close())));
      if (!(await closed)) await withinGrace(Promise.all(takers.map((taker) => taker.close(true))));
      clearInterval(beat);
      await withinGrace(
        beating
          .then(flush)
          .then(() => runs.leave(worker))
          .then(() => opening.close()),
      );
      redis.disconnect();
    },
  };
}
