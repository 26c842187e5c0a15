/**
 * The process that holds the measuring threads. It is apart from the command because a native crash in a thread takes its
 * whole process along; the command stays alive, knows which frames were in hand and starts another one.
 */
import { setTimeout as delay } from 'node:timers/promises';
import { inspect } from 'node:util';
import type { Worker } from 'node:worker_threads';
import { Piscina } from 'piscina';
import { entries } from '../entries.ts';
import { preferForKilling } from './kill-order.ts';
import {
  type FromHost,
  type Loss,
  type ThreadRequest,
  type ToHost,
  threadReplySchema,
  threadStartedSchema,
  toHostSchema,
} from './messages.ts';

/** A thread stops within milliseconds unless native code holds it. */
const stopGraceMs = 10_000;

function send(message: FromHost): void {
  // The command may have gone: then `endWithCommand` ends this process.
  if (process.connected) process.send?.(message);
}

function lossOf(error: unknown, timedOut: boolean): Loss {
  if (timedOut) return { how: 'time' };
  const code = error instanceof Error && 'code' in error ? error.code : null;
  if (code === 'ERR_WORKER_OUT_OF_MEMORY') return { how: 'memory' };
  const detail = error instanceof Error ? error.message : String(error);
  return detail.startsWith('worker exited with code') ? { how: 'exited' } : { how: 'error', detail };
}

function openPool({ threads, heapPerThreadMb, frameTimeoutMs, work }: Extract<ToHost, { kind: 'open' }>) {
  const clocks = new Map<number, { begin: () => void }>();
  const pool = new Piscina({
    filename: entries.poolThread,
    workerData: work,
    minThreads: threads,
    maxThreads: threads,
    // A thread that sleeps on a lock between frames would also stop what its native libraries do in the background.
    atomics: 'disabled',
    resourceLimits: { maxOldGenerationSizeMb: heapPerThreadMb },
  });
  pool.on('message', (message: unknown) => {
    const { started } = threadStartedSchema.parse(message);
    clocks.get(started)?.begin();
  });
  // A thread that fails without a frame in hand cannot load its code: every other one would fail alike.
  pool.on('error', (error: unknown) => {
    const message = error instanceof Error ? error.message : String(error);
    send({ kind: 'hopeless', message, story: inspect(error) });
  });

  async function watchEnd(removed: readonly Worker[]): Promise<void> {
    await delay(stopGraceMs);
    // Node sets the id of a thread that has ended to -1.
    if (removed.some(({ threadId }) => threadId !== -1)) send({ kind: 'stuck' });
  }

  return async function measure(request: ThreadRequest): Promise<void> {
    const { ticket } = request;
    const abort = new AbortController();
    let timer: NodeJS.Timeout | undefined;
    let begun = false;
    const begin = (): void => {
      begun = true;
      timer = setTimeout(() => {
        const before = [...pool.threads];
        abort.abort();
        const after = new Set(pool.threads);
        watchEnd(before.filter((thread) => !after.has(thread))).catch(() => undefined);
      }, frameTimeoutMs);
    };
    clocks.set(ticket, { begin });
    try {
      const reply = threadReplySchema.parse(await pool.run(request, { signal: abort.signal }));
      if (reply.kind === 'outcome') send({ kind: 'outcome', ticket, outcome: reply.outcome });
      else if (reply.kind === 'refused') send({ ...reply, ticket });
      else send({ kind: 'lost', ticket, loss: { how: 'error', detail: reply.detail }, story: reply.story });
    } catch (error) {
      const loss = lossOf(error, abort.signal.aborted);
      if (!begun && loss.how === 'error')
        send({ kind: 'hopeless', message: loss.detail, story: inspect(error) });
      else send({ kind: 'lost', ticket, loss, story: inspect(error) });
    } finally {
      clearTimeout(timer);
      clocks.delete(ticket);
    }
  };
}

function endWithCommand(): void {
  // Not `exit`: it waits for the threads, and native code may hold one for ever. Nothing written is ever half there.
  process.kill(process.pid, 'SIGKILL');
}

// Ctrl-C goes to every process of the terminal; whether frames in hand are finished is for the command to say.
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => undefined);
process.on('disconnect', endWithCommand);
// The command may have ended while this module was loading, before anybody listened.
if (!process.connected) endWithCommand();
preferForKilling();

let measure: ReturnType<typeof openPool> | undefined;
process.on('message', (raw: unknown) => {
  const message = toHostSchema.parse(raw);
  if (message.kind === 'open') measure = openPool(message);
  else if (message.kind === 'close') process.exit(0);
  else
    measure?.({ ticket: message.ticket, task: message.task }).catch((error: unknown) => {
      send({ kind: 'hopeless', message: String(error), story: inspect(error) });
    });
});
