import { setTimeout as delay } from 'node:timers/promises';
import type { Queue } from 'bullmq';
import { codedError } from '../../pipeline/errors.ts';
import { type DeliveryReply, deliveryReplySchema } from './jobs.ts';
import type { Run, Runs } from './runs.ts';

/** How often somebody who waits is told that no worker is there. */
const reminderMs = 30_000;

export interface Following {
  readonly run: Run;
  readonly runs: Runs;
  readonly deliveries: Queue;
  readonly followMs: number;
  readonly signal: AbortSignal;
  /** Keeps this submitter's hold on the delivery. */
  keepHold(): Promise<void>;
  /** Shared paths of frames that are finished; a path may come twice. */
  onFinished(paths: readonly string[]): void;
  notify(sentence: string): void;
}

/**
 * Waits until a delivery's job is finished.
 *
 * @returns Its reply; `null` where Redis does not know the job any more.
 * @throws CodedError `queue-failed`.
 */
export async function follow(following: Following): Promise<DeliveryReply | null> {
  const { run, runs, deliveries, followMs, keepHold, signal, onFinished, notify } = following;
  let quietSinceMs = performance.now();
  let stopped = false;
  for (;;) {
    await keepHold();
    const job = await deliveries.getJob(run.run);
    onFinished(await runs.takeFinished(run.run));
    if (job === undefined) return null;
    if (job.failedReason) throw codedError('queue-failed', { what: job.failedReason });
    if (job.finishedOn !== undefined) return deliveryReplySchema.parse(job.returnvalue ?? {});

    const workers = (await runs.workers()).filter(({ version }) => version === run.version);
    if (signal.aborted && !stopped) {
      stopped = true;
      await runs.stop(run.run);
    }
    // Where no worker is, none has a frame in hand that could be waited for.
    if (stopped && workers.length === 0) return {};
    if (workers.length > 0) quietSinceMs = performance.now();
    if (performance.now() - quietSinceMs > reminderMs) {
      quietSinceMs = performance.now();
      notify(
        `Waiting: no worker of measurement version ${run.version} is running. Start one with: nightrail worker --redis <url>`,
      );
    }
    await delay(followMs);
  }
}
