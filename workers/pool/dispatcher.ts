import { existsSync } from 'node:fs';
import type { Delivery } from '../../pipeline/contracts/delivery.ts';
import type { Dispatcher, FrameOutcome, Progress } from '../../pipeline/contracts/work.ts';
import { codedError } from '../../pipeline/errors.ts';
import { createFramePool, type FramePoolOptions } from './frame-pool.ts';
import { measureUnlessKnown } from './measure-unless-known.ts';

/** Frames looked up ahead of the threads: enough that none waits for the disk, few enough that little is held. */
const lookAhead = 4;

export interface PoolOptions extends FramePoolOptions {
  /** Folder of the measurement store. */
  readonly cache: string;
  /** Measurement version. */
  readonly version: string;
}

/**
 * The in-process adapter: this process looks every frame up by its content, unless there is no store yet, and hands what was never
 * measured to threads.
 * No thread and no network is started where the store knows every frame.
 */
export function createPoolDispatcher(options: PoolOptions): Dispatcher {
  const { cache, version } = options;
  const pool = createFramePool(options);
  // A store that is not there knows no frame: none is read here for the answer.
  const isFirst = !existsSync(cache);
  if (isFirst) pool.start();

  async function measure(
    { frames }: Delivery,
    onProgress: (progress: Progress) => void,
    signal: AbortSignal,
  ): Promise<readonly FrameOutcome[]> {
    const outcomes = new Map<string, FrameOutcome>();
    const remaining = frames.values();
    let failed = false;

    async function work(): Promise<void> {
      for (const { id, path } of remaining) {
        if (signal.aborted || failed) return;
        const task = { frameId: id, path, cache, version };
        const outcome = await (isFirst ? pool.measure(task) : measureUnlessKnown(pool, task));
        if (outcome === null) return;
        outcomes.set(id, outcome);
        onProgress({ done: outcomes.size, total: frames.length, frameId: id, fromCache: outcome.fromCache });
      }
    }

    const stop = (): void => pool.stop();
    signal.addEventListener('abort', stop, { once: true });
    try {
      const workers = Array.from({ length: options.budget.threads + lookAhead }, () =>
        work().catch((error: unknown) => {
          failed = true;
          pool.stop();
          throw error;
        }),
      );
      await Promise.allSettled(workers);
      await Promise.all(workers);
    } finally {
      signal.removeEventListener('abort', stop);
    }
    const inOrder = frames.flatMap(({ id }) => outcomes.get(id) ?? []);
    if (inOrder.length < frames.length)
      throw codedError('stopped', { done: inOrder.length, total: frames.length });
    return inOrder;
  }

  return { name: 'pool', measure, close: () => pool.close() };
}
