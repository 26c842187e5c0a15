/** Waits and limits of the queue, in one place; tests shorten the waits. */
export interface QueueTiming {
  /** A worker that does not renew its hold on a job for this long is taken for dead. */
  readonly lockMs: number;
  /** How often workers look for jobs of dead ones. */
  readonly stalledMs: number;
  /** First wait before a frame is tried again after a fault of disk or network; doubled each time. */
  readonly backoffMs: number;
  /** How often a submitter looks how far its delivery is, and workers say how far they are. */
  readonly followMs: number;
  /** A submitter that does not renew its hold on a delivery for this long is taken for dead. */
  readonly leaseMs: number;
}

export const usualTiming: QueueTiming = {
  lockMs: 30_000,
  stalledMs: 15_000,
  backoffMs: 1000,
  followMs: 500,
  leaseMs: 30_000,
};

/** BullMQ writes every change of a job into a stream, which nobody here reads: short ones, to spare Redis' memory. */
export const unreadEvents = { events: { maxLen: 100 } } as const;
/** Tries of a frame after faults of disk or network: with doubling waits from 1 s they span two minutes. */
export const maxAttempts = 8;
/** How often a frame's worker may be lost before the frame is given up: kills from outside hit the same frame rarely, a frame at fault each time. */
export const maxLostWorkers = 10;
/** Frames of all deliveries that lie ready at once. Enough for every core of a few machines, and little to wait behind. */
export const readyFrames = 256;
/** Frames in one garment's job; a larger garment is opened in parts, so that job data stays small. */
export const framesPerOpening = 200;
/** What is left in Redis of a run whose submitter died goes after a week. */
export const leftoverS = 7 * 24 * 3600;
