/**
 * The queue adapter: looks every frame up by its content, submits what nobody has measured, and follows until it is done.
 * Results lie in the shared store; only what was otherwise than submitted comes back through Redis.
 */
import { access } from 'node:fs/promises';
import { hostname } from 'node:os';
import { dirname, join } from 'node:path';
import { FlowProducer, Queue } from 'bullmq';
import { Redis } from 'ioredis';
import type { Logger } from 'pino';
import type { DeliveredFrame, Delivery } from '../../pipeline/contracts/delivery.ts';
import type { Dispatcher, FrameOutcome, Progress } from '../../pipeline/contracts/work.ts';
import { codedError } from '../../pipeline/errors.ts';
import { lookUpFrame } from '../../pipeline/tasks/measure-frame.ts';
import { codedFromElsewhere } from '../coded-from-elsewhere.ts';
import { isRunning } from '../running.ts';
import { checkRedis, patient, type RedisAddress } from './connection.ts';
import { follow } from './follow.ts';
import type { DeliveryReply, FrameException } from './jobs.ts';
import { newRunId, queueNames } from './names.ts';
import { openRuns, type Run, type Runs } from './runs.ts';
import type { SharedFolder } from './shared-folder.ts';
import { inParts, type QueuedGarment, submit } from './submit.ts';
import { type QueueTiming, unreadEvents } from './timing.ts';

/** Frames read at once while looking up: a shared disk answers several as fast as one. */
const lookUpsAtOnce = 6;
/** Times a delivery is submitted again where Redis lost it or the store lacks what was promised. */
const maxRounds = 5;

export interface QueueDispatcherOptions {
  readonly address: RedisAddress;
  readonly prefix: string;
  readonly version: string;
  /** Folder of the measurement store, inside the shared folder. */
  readonly cache: string;
  readonly folder: SharedFolder;
  readonly timing: QueueTiming;
  /** Garments served before all others. */
  readonly urgent: ReadonlySet<string>;
  readonly log: Logger;
  /** Something a person should know while waiting. */
  notify(sentence: string): void;
}

interface Missing {
  readonly frame: DeliveredFrame;
  readonly path: string;
  readonly contentHash: string;
}

/** What is known of a delivery's frames so far. */
interface Ledger {
  readonly outcomes: ReadonlyMap<string, FrameOutcome>;
  /** A frame is finished: each is reported once, whatever it is worth. */
  report(frameId: string, fromCache: boolean): void;
  settle(outcome: FrameOutcome): void;
}

function openLedger(total: number, onProgress: (progress: Progress) => void): Ledger {
  const outcomes = new Map<string, FrameOutcome>();
  const reported = new Set<string>();
  const report = (frameId: string, fromCache: boolean): void => {
    if (reported.has(frameId)) return;
    reported.add(frameId);
    onProgress({ done: reported.size, total, frameId, fromCache });
  };
  return {
    outcomes,
    report,
    settle(outcome) {
      outcomes.set(outcome.frameId, outcome);
      report(outcome.frameId, outcome.fromCache);
    },
  };
}

function groupBy<T>(items: readonly T[], keyOf: (item: T) => string): ReadonlyMap<string, readonly T[]> {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const group = groups.get(keyOf(item));
    if (group === undefined) groups.set(keyOf(item), [item]);
    else group.push(item);
  }
  return groups;
}

interface Links {
  readonly flows: FlowProducer;
  readonly deliveries: Queue;
  readonly runs: Runs;
}

export function createQueueDispatcher(options: QueueDispatcherOptions): Dispatcher {
  const { address, cache, folder, log, notify, prefix, timing, urgent, version } = options;
  const names = queueNames(prefix, version);
  const connection = patient(address);
  const closers: (() => Promise<unknown>)[] = [];

  function connect(): Links {
    let away = false;
    const redis = new Redis(connection);
    redis.on('error', (error: Error) => {
      log.warn({ err: error }, 'connection to Redis');
      if (!away) notify(`Redis at ${address.shown} does not answer; waiting for it. Nothing is lost.`);
      away = true;
    });
    redis.on('ready', () => {
      if (away) notify('Redis answers again.');
      away = false;
    });
    const flows = new FlowProducer({ connection, prefix: names.prefix });
    const deliveries = new Queue(names.deliveries, {
      connection,
      prefix: names.prefix,
      streams: unreadEvents,
    });
    flows.on('error', (error: Error) => log.warn({ err: error }, 'queue'));
    deliveries.on('error', (error: Error) => log.warn({ err: error }, 'queue'));
    closers.push(
      () => flows.close(),
      () => deliveries.close(),
      async () => redis.disconnect(),
    );
    return { flows, deliveries, runs: openRuns(redis, names.prefix) };
  }

  /** @throws CodedError `delivery-under-way` where another submitter that may still be going has it. */
  async function hold(holder: Run, runs: Runs): Promise<void> {
    let other = await runs.holdDelivery(holder, timing.leaseMs);
    if (other !== null && other.host === holder.host && !isRunning(other.pid)) {
      await runs.releaseDelivery(other);
      other = await runs.holdDelivery(holder, timing.leaseMs);
    }
    if (other !== null) throw codedError('delivery-under-way', other);
  }

  /** Settles what the store or the file itself answers, and returns the rest. */
  async function lookUp(
    frames: readonly DeliveredFrame[],
    ledger: Ledger,
    signal: AbortSignal,
  ): Promise<readonly Missing[]> {
    const missing = new Map<string, Missing>();
    const remaining = frames.values();
    async function work(): Promise<void> {
      for (const frame of remaining) {
        if (signal.aborted) return;
        const found = await lookUpFrame({ frameId: frame.id, path: frame.path, cache, version });
        if ('outcome' in found) ledger.settle(found.outcome);
        else
          missing.set(frame.id, { frame, path: folder.toShared(frame.path), contentHash: found.contentHash });
      }
    }
    await Promise.all(Array.from({ length: lookUpsAtOnce }, work));
    return frames.flatMap(({ id }) => missing.get(id) ?? []);
  }

  async function settleStored(missing: readonly Missing[], { outcomes, settle }: Ledger): Promise<void> {
    for (const { frame, contentHash } of missing) {
      if (outcomes.has(frame.id)) continue;
      const there = await access(join(cache, `${contentHash}-${version}.json`)).then(
        () => true,
        () => false,
      );
      if (there) settle({ ok: true, frameId: frame.id, contentHash, fromCache: false });
    }
  }

  function settleException(frameId: string, exception: FrameException, { settle }: Ledger): void {
    if ('code' in exception) throw codedFromElsewhere(exception);
    if ('reason' in exception)
      settle({ ok: false, frameId, fromCache: false, mayPass: false, reason: exception.reason });
    if ('contentHash' in exception)
      settle({ ok: true, frameId, contentHash: exception.contentHash, fromCache: false });
  }

  function settleReply(
    reply: DeliveryReply,
    parts: readonly QueuedGarment[],
    byPath: ReadonlyMap<string, Missing>,
    ledger: Ledger,
  ): void {
    for (const [part, exceptions] of Object.entries(reply)) {
      for (const [index, exception] of exceptions) {
        const found = byPath.get(parts[Number(part)]?.frames[index]?.path ?? '');
        if (found !== undefined) settleException(found.frame.id, exception, ledger);
      }
    }
  }

  /** One submission to its end. Frames that are still unsettled afterwards are for the next round. */
  async function round(
    run: Run,
    { flows, deliveries, runs }: Links,
    keepHold: () => Promise<void>,
    missing: readonly Missing[],
    ledger: Ledger,
    signal: AbortSignal,
  ): Promise<void> {
    const byGarment = groupBy(missing, ({ frame }) => frame.garment);
    const garments = [...byGarment].map(([garment, list]) => ({
      urgent: urgent.has(garment),
      frames: list.map(({ path, contentHash }) => ({ path, contentHash })),
    }));
    const parts = inParts(garments);
    const byPath = new Map(missing.map((each) => [each.path, each]));
    await runs.begin(run);
    await submit(
      flows,
      { run: run.run, delivery: run.delivery, cache: folder.toShared(cache), garments: parts },
      names,
      timing,
    );
    const reply = await follow({
      run,
      runs,
      deliveries,
      followMs: timing.followMs,
      keepHold,
      signal,
      notify,
      onFinished: (paths) => {
        for (const path of paths) {
          const found = byPath.get(path);
          if (found !== undefined) ledger.report(found.frame.id, false);
        }
      },
    });
    if (reply === null) notify('Redis lost the delivery; what is not measured yet is submitted again.');
    else settleReply(reply, parts, byPath, ledger);
    // A data error in the bytes is in the store as well: only what the reply named is not.
    await settleStored(missing, ledger);
    const job = await deliveries.getJob(run.run);
    if (!signal.aborted) await job?.remove({ removeChildren: true });
    await runs.end(run.run);
  }

  async function measure(
    { root, frames }: Delivery,
    onProgress: (progress: Progress) => void,
    signal: AbortSignal,
  ): Promise<readonly FrameOutcome[]> {
    const ledger = openLedger(frames.length, onProgress);
    let missing = await lookUp(frames, ledger, signal);
    if (missing.length > 0 && !signal.aborted) {
      await checkRedis(address);
      const links = connect();
      const facts = {
        delivery: folder.toShared(root),
        out: folder.toShared(dirname(cache)),
        host: hostname(),
        pid: process.pid,
        since: new Date().toISOString(),
        version,
      };
      const holder: Run = { run: newRunId(), ...facts, total: missing.length };
      await hold(holder, links.runs);
      const keepHold = async (): Promise<void> => {
        if (!(await links.runs.renewHold(holder, timing.leaseMs))) await hold(holder, links.runs);
      };
      try {
        for (const earlier of await links.runs.list()) {
          // Its submitter is gone: what it measured is in the store, the rest is submitted anew.
          if (earlier.delivery === facts.delivery && earlier.version === version)
            await links.runs.stop(earlier.run);
        }
        let run = holder;
        for (let count = 1; missing.length > 0 && !signal.aborted; count += 1) {
          if (count > maxRounds)
            throw codedError('queue-failed', { what: `${missing.length} frames were lost again and again` });
          await round(run, links, keepHold, missing, ledger, signal);
          missing = missing.filter(({ frame }) => !ledger.outcomes.has(frame.id));
          run = { ...run, run: newRunId(), total: missing.length };
        }
      } finally {
        await links.runs.releaseDelivery(holder);
      }
    }
    const inOrder = frames.flatMap(({ id }) => ledger.outcomes.get(id) ?? []);
    if (inOrder.length < frames.length)
      throw codedError('stopped', { done: inOrder.length, total: frames.length });
    return inOrder;
  }

  return {
    name: 'queue',
    measure,
    async close() {
      for (const close of closers.splice(0)) await close();
    },
  };
}
