/** A delivery as a flow: the delivery waits for its garments, a garment for its frames. */
import type { FlowJob, FlowProducer, JobsOptions } from 'bullmq';
import { codedError } from '../../pipeline/errors.ts';
import type { OpeningJob, QueuedFrame } from './jobs.ts';
import { jobIds, type QueueNames } from './names.ts';
import { framesPerOpening, leftoverS, maxAttempts, type QueueTiming } from './timing.ts';

export interface QueuedGarment {
  readonly urgent: boolean;
  readonly frames: readonly QueuedFrame[];
}

export interface Submission {
  readonly run: string;
  /** Shared paths. */
  readonly delivery: string;
  readonly cache: string;
  readonly garments: readonly QueuedGarment[];
}

/** BullMQ serves small numbers first, and jobs without a number before all. Urgent garments keep the first for themselves. */
const priorities = { urgent: 1, first: 2, last: 2 ** 21 } as const;

/** Large garments in parts, so that no job holds more than a few hundred paths. */
export function inParts(garments: readonly QueuedGarment[]): readonly QueuedGarment[] {
  return garments.flatMap(({ urgent, frames }) => {
    const parts = Math.ceil(frames.length / framesPerOpening);
    return Array.from({ length: parts }, (_, part) => ({
      urgent,
      frames: frames.slice(part * framesPerOpening, (part + 1) * framesPerOpening),
    }));
  });
}

/** For whatever a disk or network fault stops: try again, later and later, with a spread so that workers do not come back all at once. */
export function retrying(timing: QueueTiming): JobsOptions {
  return {
    attempts: maxAttempts,
    backoff: { type: 'exponential', delay: timing.backoffMs, jitter: 0.5 },
    removeOnComplete: true,
    removeOnFail: true,
  };
}

/**
 * The whole tree. The n-th garments of all deliveries have the same priority, so several deliveries are served side by side
 * whatever their size, and one that comes later does not wait for the end of the first.
 */
export function deliveryFlow(
  { run, delivery, cache, garments }: Submission,
  names: QueueNames,
  timing: QueueTiming,
): FlowJob {
  const { prefix } = names;
  const kept = { removeOnComplete: { age: leftoverS }, removeOnFail: { age: leftoverS } };
  return {
    name: 'delivery',
    queueName: names.deliveries,
    prefix,
    opts: { jobId: jobIds.delivery(run), ...kept },
    children: garments.map(({ urgent, frames }, garment) => {
      const priority = urgent ? priorities.urgent : Math.min(priorities.first + garment, priorities.last);
      const data: OpeningJob = { run, delivery, cache, garment, urgent, frames: [...frames] };
      return {
        name: 'garment',
        queueName: names.garments,
        prefix,
        opts: { jobId: jobIds.garment(run, garment), ...retrying(timing), failParentOnFailure: true },
        children: [
          {
            name: 'opening',
            queueName: names.openings,
            prefix,
            data,
            opts: {
              jobId: jobIds.opening(run, garment),
              priority,
              ...retrying(timing),
              failParentOnFailure: true,
            },
          },
        ],
      };
    }),
  };
}

/** Puts a delivery into Redis in one step: all of it is there or nothing. */
export async function submit(
  flows: FlowProducer,
  submission: Submission,
  names: QueueNames,
  timing: QueueTiming,
): Promise<void> {
  if (submission.garments.length === 0) throw codedError('queue-failed', { what: 'nothing was submitted' });
  await flows.add(deliveryFlow(submission, names, timing));
}
