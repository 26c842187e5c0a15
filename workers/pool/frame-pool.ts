/**
 * Frames measured on threads, whatever happens to a thread or to the process that holds them.
 * A frame that is lost gets a second try; one that was in hand when the process died gets it alone, so that only the
 * frame at fault can bring the process down again. After its second loss a frame is unreadable, with the reason.
 */
import type { Logger } from 'pino';
import type { FrameOutcome, FrameTask } from '../../pipeline/contracts/work.ts';
import { type CodedError, codedError } from '../../pipeline/errors.ts';
import { codedFromElsewhere } from '../coded-from-elsewhere.ts';
import { entries } from '../entries.ts';
import type { ThreadBudget } from '../thread-budget.ts';
import { type HostProcess, startHost } from './host-process.ts';
import type { FromHost, Loss } from './messages.ts';

/** The first and one more: what passes by (memory pressure, a stray kill) rarely happens twice. */
const maxTries = 2;
/** Processes that end before any frame was begun say that the machine, not a frame, is at fault. */
const maxDeathsBeforeWork = 3;

export interface FramePoolOptions {
  readonly budget: ThreadBudget;
  readonly frameTimeoutMs: number;
  readonly log: Logger;
  /** URL of the module with the threads' work; the product's own unless a test brings another. */
  readonly work?: string;
}

export interface FramePool {
  /**
   * The frame's outcome; `null` where the pool was stopped before the frame was begun.
   * Rejects with a CodedError where the store cannot be used, and when nothing can be measured any more.
   */
  measure(task: FrameTask): Promise<FrameOutcome | null>;
  /** Starts the measuring process, where it is known that frames will come. */
  start(): void;
  /** Finishes the frames in hand and begins no other. */
  stop(): void;
  close(): Promise<void>;
}

interface Entry {
  readonly ticket: number;
  readonly task: FrameTask;
  tries: number;
  begun: boolean;
  resolve(outcome: FrameOutcome | null): void;
  reject(error: unknown): void;
}

type Ending = Loss | { readonly how: 'killed'; readonly signal: string };

function reasonFor(ending: Ending, frameTimeoutMs: number): string {
  switch (ending.how) {
    case 'error':
      return codedError('worker-error', { detail: ending.detail }).message;
    case 'exited':
      return codedError('worker-exited', {}).message;
    case 'memory':
      return codedError('worker-memory', {}).message;
    case 'time':
      return codedError('worker-time', { limitS: frameTimeoutMs / 1000 }).message;
    case 'killed':
      return codedError('worker-killed', { signal: ending.signal }).message;
  }
}

export function createFramePool(options: FramePoolOptions): FramePool {
  const { budget, frameTimeoutMs, log } = options;
  // A run of frames that each bring the process down loses at most this many processes before one frame comes through.
  const maxDeathsInARow = 3 * budget.threads + 6;
  const waiting: Entry[] = [];
  const suspects: Entry[] = [];
  const inHand = new Map<number, Entry>();
  let host: HostProcess | null = null;
  let tickets = 0;
  let deathsInARow = 0;
  let deathsBeforeWork = 0;
  let replacing = false;
  let stopped = false;
  let closed = false;
  let failure: CodedError | null = null;

  function everyEntry(): Entry[] {
    return [...inHand.values(), ...suspects.splice(0), ...waiting.splice(0)];
  }

  function fail(error: CodedError): void {
    failure ??= error;
    for (const entry of everyEntry()) entry.reject(failure);
    inHand.clear();
    host?.kill();
  }

  function lose(entry: Entry, ending: Ending): void {
    const { frameId } = entry.task;
    log.warn({ frameId, ending, tries: entry.tries }, 'frame lost');
    if (entry.tries >= maxTries)
      entry.resolve({
        ok: false,
        frameId,
        fromCache: false,
        mayPass: false,
        reason: reasonFor(ending, frameTimeoutMs),
      });
    else if (stopped) entry.resolve(null);
    else if (ending.how === 'killed') suspects.push(entry);
    else waiting.push(entry);
  }

  function begun(ticket: number): void {
    const entry = inHand.get(ticket);
    if (entry === undefined) return;
    entry.begun = true;
    entry.tries += 1;
    log.debug({ frameId: entry.task.frameId }, 'frame begun');
  }

  function hear(message: FromHost): void {
    if (message.kind === 'stuck') {
      replacing = true;
    } else if (message.kind === 'hopeless') {
      log.error({ story: message.story }, message.message);
      fail(codedError('measuring-not-possible', { what: message.message }));
    } else {
      const entry = inHand.get(message.ticket);
      if (entry === undefined) return;
      inHand.delete(message.ticket);
      if (message.kind === 'outcome') {
        deathsInARow = 0;
        entry.resolve(message.outcome);
      } else if (message.kind === 'refused') {
        log.warn({ story: message.story }, message.message);
        entry.reject(codedFromElsewhere(message));
      } else {
        log.debug({ story: message.story }, 'how the frame was lost');
        // A thread that dies before it says that it began has used up a try all the same, or this would have no end.
        if (!entry.begun) entry.tries += 1;
        lose(entry, message.loss);
      }
    }
    pump();
  }

  function hostEnded(how: string): void {
    host = null;
    if (closed || failure !== null) return;
    const lost = [...inHand.values()];
    inHand.clear();
    const atWork = lost.filter((entry) => entry.begun);
    if (!replacing || lost.length > 0) {
      log.warn({ how, frames: atWork.map(({ task }) => task.frameId) }, 'measuring process ended');
      deathsInARow += 1;
      deathsBeforeWork = atWork.length === 0 ? deathsBeforeWork + 1 : 0;
    }
    replacing = false;
    for (const entry of lost.filter((each) => !each.begun)) {
      if (stopped) entry.resolve(null);
      else waiting.unshift(entry);
    }
    for (const entry of atWork) lose(entry, { how: 'killed', signal: how });
    if (deathsBeforeWork >= maxDeathsBeforeWork || deathsInARow >= maxDeathsInARow) {
      fail(
        codedError('measuring-not-possible', { what: `the measuring process ends again and again (${how})` }),
      );
      return;
    }
    pump();
  }

  function running(): HostProcess {
    host ??= startHost(
      {
        threads: budget.threads,
        heapPerThreadMb: budget.heapPerThreadMb,
        frameTimeoutMs,
        work: options.work ?? entries.measuring,
      },
      budget,
      { begun, message: hear, ended: hostEnded },
      log,
    );
    return host;
  }

  function hand(entry: Entry): void {
    entry.begun = false;
    inHand.set(entry.ticket, entry);
    running().send({ kind: 'measure', ticket: entry.ticket, task: entry.task });
  }

  function pump(): void {
    if (closed || failure !== null) return;
    if (replacing) {
      if (inHand.size === 0) host?.kill();
      return;
    }
    const suspect = suspects[0];
    if (suspect !== undefined) {
      if (inHand.size > 0) return;
      suspects.shift();
      hand(suspect);
      return;
    }
    while (inHand.size < budget.threads) {
      const entry = waiting.shift();
      if (entry === undefined) return;
      hand(entry);
    }
  }

  return {
    measure(task) {
      if (failure !== null) return Promise.reject(failure);
      if (stopped || closed) return Promise.resolve(null);
      return new Promise((resolve, reject) => {
        waiting.push({ ticket: tickets++, task, tries: 0, begun: false, resolve, reject });
        pump();
      });
    },
    start() {
      running();
    },
    stop() {
      stopped = true;
      for (const entry of [...suspects.splice(0), ...waiting.splice(0)]) entry.resolve(null);
    },
    async close() {
      closed = true;
      for (const entry of everyEntry()) entry.resolve(null);
      inHand.clear();
      await host?.close();
    },
  };
}
