/** The main command: a delivery in, verdicts and documents out. */
import { hostname } from 'node:os';
import type { Logger } from 'pino';
import type { Delivery } from '../../pipeline/contracts/delivery.ts';
import type { Dispatcher, FrameOutcome } from '../../pipeline/contracts/work.ts';
import type { DecisionSheet } from '../../pipeline/intake/decisions.ts';
import { measurementVersion } from '../../pipeline/measure/version.ts';
import { loadProfile } from '../../pipeline/profile/load-profile.ts';
import type { Profile } from '../../pipeline/profile/profile.ts';
import { sweepTemporaries } from '../../pipeline/store/atomic-write.ts';
import { measureSettled } from '../measure-settled.ts';
import { createPoolDispatcher } from '../pool/dispatcher.ts';
import { type QueueTiming, usualTiming } from '../queue/timing.ts';
import { threadBudget } from '../thread-budget.ts';
import { type DeliveryOptions, readAskedDecisions, readAskedDelivery } from './asked-delivery.ts';
import type { ExitStatus } from './exit-status.ts';
import { listenForInterrupt } from './interrupt.ts';
import { openLog } from './log.ts';
import { type OutputFolder, takeOutputFolder } from './output-folder.ts';
import { showProgress } from './progress.ts';
import { say, type Terminal } from './terminal.ts';

export interface CheckOptions extends DeliveryOptions {
  readonly json: boolean;
  /** Where the queue is; frames are measured by this machine's own threads where absent. */
  readonly redis?: string | undefined;
  /** Folder that every worker of the queue sees, as this machine mounts it. */
  readonly root: string;
  readonly keyPrefix: string;
  /** Garments that go first in the queue. */
  readonly urgent: readonly string[];
}

/** What measures: the product's own, unless a test brings a smaller one. */
export interface Measuring {
  readonly version: string;
  /** URL of the module with the threads' work. */
  readonly work?: string;
  /** Frame that a watch measures once on every thread before the first one comes. */
  readonly warmUp?: string;
  /** Waits of the queue. */
  readonly timing?: QueueTiming;
}

interface DispatcherFacts {
  readonly delivery: Delivery;
  readonly cache: string;
  readonly measuring: Measuring;
  readonly log: Logger;
}

/** The queue where one is named, else this machine's own threads. */
async function openDispatcher(
  options: CheckOptions,
  { delivery, cache, measuring, log }: DispatcherFacts,
  terminal: Terminal,
): Promise<Dispatcher> {
  if (options.redis === undefined)
    return createPoolDispatcher({
      cache,
      budget: threadBudget(options.workers),
      frameTimeoutMs: options.frameTimeoutS * 1000,
      log,
      ...measuring,
    });
  const { openQueue } = await import('./open-queue.ts');
  return openQueue({
    ...options,
    redis: options.redis,
    garments: delivery.garments.map(({ id }) => id),
    cache,
    version: measuring.version,
    timing: measuring.timing ?? usualTiming,
    log,
    notify: (sentence) => say(terminal.err, sentence),
  });
}

async function measureAll(
  dispatcher: Dispatcher,
  delivery: Delivery,
  terminal: Terminal,
  log: Logger,
): Promise<readonly FrameOutcome[]> {
  const interruption = listenForInterrupt(terminal);
  const display = showProgress(terminal, () => performance.now());
  try {
    return await measureSettled(dispatcher, delivery, {
      onProgress: (progress) => display.update(progress),
      onChanged: (frameId) => {
        log.warn({ frameId }, 'changed during the run');
        say(
          terminal.err,
          `Note: ${frameId} was changed while the run was going; the file as it is now was measured.`,
        );
      },
      signal: interruption.signal,
    });
  } finally {
    display.end();
    await dispatcher.close();
    interruption.dispose();
  }
}

async function runIn(
  folder: OutputFolder,
  delivery: Delivery,
  options: CheckOptions,
  terminal: Terminal,
  {
    measuring,
    log,
    profile,
    decisions,
  }: { measuring: Measuring; log: Logger; profile: Profile; decisions: DecisionSheet },
): Promise<ExitStatus> {
  const startedAt = new Date();
  const beganMs = performance.now();
  const { version } = measuring;
  const { cache, path: out } = folder;
  // Never the address of Redis: it may hold a password.
  const { redis: _, ...asked } = options;
  log.info({ delivery: delivery.root, frames: delivery.frames.length, version, asked }, 'run begins');
  for (const remark of delivery.remarks) {
    log.info({ remark }, 'remark on the delivery');
    say(terminal.err, `Note: ${remark}`);
  }
  await sweepTemporaries(cache, Date.now());
  const dispatcher = await openDispatcher(options, { delivery, cache, measuring, log }, terminal);
  const [outcomes, { completeRun }] = await Promise.all([
    measureAll(dispatcher, delivery, terminal, log),
    // What writes the documents is loaded while the first frames are measured.
    import('./complete-run.ts'),
  ]);
  return completeRun(
    {
      delivery,
      outcomes,
      profile,
      out,
      cache,
      version,
      startedAt,
      host: hostname(),
      dispatch: dispatcher.name,
      decisions,
      ...(options.clock === undefined ? {} : { clocks: options.clock }),
    },
    { terminal, log, json: options.json, beganMs },
  );
}

/**
 * Checks a delivery.
 *
 * @returns The exit status of a complete run.
 * @throws CodedError of kind `usage` before anything is written, or of kind `run` where the run could not be completed.
 */
export async function check(
  options: CheckOptions,
  terminal: Terminal,
  measuring: Measuring = { version: measurementVersion() },
): Promise<ExitStatus> {
  // Everything that can be wrong with the command is found before the first frame is measured.
  const profile = await loadProfile(options.profile ?? null);
  const delivery = await readAskedDelivery(options);
  const decisions = await readAskedDecisions(options);
  const folder = await takeOutputFolder(options.delivery, options.out);
  try {
    const log = openLog(folder.path, process.env.NIGHTRAIL_LOG);
    try {
      return await runIn(folder, delivery, options, terminal, { measuring, log, profile, decisions });
    } catch (error) {
      log.error({ err: error }, 'run not completed');
      throw error;
    }
  } finally {
    folder.release();
  }
}
