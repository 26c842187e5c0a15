/** What a worker does with each kind of job. Everything may happen twice; nothing may be lost. */
import { access } from 'node:fs/promises';
import { hostname } from 'node:os';
import { setTimeout as delay } from 'node:timers/promises';
import { type Job, Queue, type QueueOptions } from 'bullmq';
import type { FrameOutcome, FrameTask } from '../../pipeline/contracts/work.ts';
import { CodedError, codedError } from '../../pipeline/errors.ts';
import {
  type DeliveryReply,
  type FrameException,
  type FrameJob,
  type FrameReply,
  frameJobSchema,
  frameReplySchema,
  type GarmentReply,
  garmentReplySchema,
  openingJobSchema,
} from './jobs.ts';
import { frameIndexOf, jobIds, type QueueNames } from './names.ts';
import type { SharedFolder } from './shared-folder.ts';
import { retrying } from './submit.ts';
import { maxLostWorkers, type QueueTiming, readyFrames } from './timing.ts';

/** Between two looks whether there is room for more frames. */
const roomMs = 20;

export interface FrameWork {
  readonly version: string;
  readonly folder: SharedFolder;
  /** Measures one frame; `null` where this worker is going and the frame was not begun. */
  measure(task: FrameTask): Promise<FrameOutcome | null>;
  isStopped(run: string): Promise<boolean>;
  /** Tells that a frame is finished. */
  finished(run: string, path: string, lost: boolean): void;
}

/** A worker that does not see the delivery at all says nothing about its frames. */
async function requireDelivery(local: string): Promise<void> {
  try {
    await access(local);
  } catch (error) {
    throw codedError('delivery-not-seen', { path: local, host: hostname() }, error);
  }
}

/** @throws what may pass by, for another try. */
export async function processFrame(job: Job<FrameJob>, work: FrameWork): Promise<FrameReply> {
  const { run, delivery, cache, path, contentHash } = frameJobSchema.parse(job.data);
  const { folder, version } = work;
  if (await work.isStopped(run)) return { skipped: true };
  const task = { frameId: path, path: folder.toLocal(path), cache: folder.toLocal(cache), version };
  const outcome = await work.measure(task);
  if (outcome === null) throw codedError('queue-failed', { what: 'the worker is being stopped' });
  const reply = await replyTo(outcome, contentHash, folder.toLocal(delivery));
  work.finished(run, path, typeof reply === 'object' && 'reason' in reply);
  return reply;
}

async function replyTo(outcome: FrameOutcome, submitted: string, delivery: string): Promise<FrameReply> {
  if (outcome.ok) return outcome.contentHash === submitted ? '' : { contentHash: outcome.contentHash };
  if (outcome.fromCache) return { reason: outcome.reason };
  await requireDelivery(delivery);
  if (outcome.mayPass) throw new CodedError('frame-not-read', outcome.reason);
  return { reason: outcome.reason };
}

/** Opens a garment: its frames go into the queue, as children of the garment, once there is room. */
export function openingProcessor(
  names: QueueNames,
  timing: QueueTiming,
  options: QueueOptions,
  { isClosing, isStopped }: { isClosing(): boolean; isStopped(run: string): Promise<boolean> },
): { process: (job: Job) => Promise<void>; close: () => Promise<void> } {
  const frames = new Queue(names.frames, options);
  frames.on('error', () => undefined);

  async function waitForRoom(): Promise<void> {
    for (;;) {
      const {
        waiting = 0,
        prioritized = 0,
        active = 0,
      } = await frames.getJobCounts('waiting', 'prioritized', 'active');
      if (waiting + prioritized + active < readyFrames || isClosing()) return;
      await delay(roomMs);
    }
  }

  return {
    async process(job) {
      const { run, delivery, cache, garment, urgent, frames: list } = openingJobSchema.parse(job.data);
      if (!urgent) await waitForRoom();
      if (await isStopped(run)) return;
      const parent = { id: jobIds.garment(run, garment), queue: `${names.prefix}:${names.garments}` };
      await frames.addBulk(
        list.map(({ path, contentHash }, index) => ({
          name: 'frame',
          data: { run, delivery, cache, path, contentHash } satisfies FrameJob,
          opts: {
            ...retrying(timing),
            jobId: jobIds.frame(run, garment, index),
            parent,
            // In front of all that wait already.
            lifo: urgent,
            ignoreDependencyOnFailure: true,
          },
        })),
      );
    },
    close: () => frames.close(),
  };
}

/** What BullMQ says of a job whose workers were lost too often; see `maxStalledCount`. */
const stalledText = 'job stalled more than allowable limit';

/** A failed frame job carries its error's code in front of the sentence: only the text of an error comes through Redis. */
export function failureText(error: unknown): string {
  if (error instanceof CodedError) return `${error.code}|${error.message}`;
  return error instanceof Error ? error.message : String(error);
}

function exceptionOf(failure: string): FrameException {
  if (failure.includes(stalledText))
    return { reason: codedError('worker-lost', { times: maxLostWorkers + 1 }).message };
  const cut = failure.indexOf('|');
  const code = failure.slice(0, Math.max(0, cut));
  if (code === 'frame-not-read') return { reason: failure.slice(cut + 1) };
  return code === ''
    ? { reason: codedError('worker-error', { detail: failure }).message }
    : { code, message: failure.slice(cut + 1) };
}

/** A garment whose frames are all finished: what was not as submitted, in the order of its list. */
export async function processGarment(job: Job): Promise<GarmentReply> {
  const [values, failures] = await Promise.all([job.getChildrenValues(), job.getIgnoredChildrenFailures()]);
  const exceptions: [number, FrameException][] = [];
  for (const [key, value] of Object.entries(values)) {
    if (key.endsWith('_open')) continue;
    const reply = frameReplySchema.parse(value ?? '');
    if (reply !== '') exceptions.push([frameIndexOf(key), reply]);
  }
  for (const [key, failure] of Object.entries(failures))
    exceptions.push([frameIndexOf(key), exceptionOf(failure)]);
  return exceptions.sort(([a], [b]) => a - b);
}

/** A delivery whose garments are all finished. */
export async function processDelivery(job: Job): Promise<DeliveryReply> {
  const values = await job.getChildrenValues();
  return Object.fromEntries(
    Object.entries(values)
      .map(([key, value]) => [String(frameIndexOf(key)), garmentReplySchema.parse(value)] as const)
      .filter(([, exceptions]) => exceptions.length > 0)
      .sort(([a], [b]) => Number(a) - Number(b)),
  );
}
