/** What crosses between the command, the process that holds the measuring threads, and the threads. Plain JSON. */
import { z } from 'zod';
import { frameOutcomeSchema, frameTaskSchema } from '../../pipeline/contracts/work.ts';

/** One hand-over of one frame; frame ids repeat between deliveries, tickets do not. */
const ticket = z.number().int().nonnegative();

/**
 * Pipe on which a thread writes the ticket of each frame it begins, one a line, before it touches the frame. A plain
 * write reaches the kernel at once, so the command knows what was begun even where the next instruction ends the process;
 * a message would be lost on its way through the process's own loop.
 */
export const begunPipe = 4;

export const threadRequestSchema = z.strictObject({ ticket, task: frameTaskSchema });
export type ThreadRequest = z.infer<typeof threadRequestSchema>;
/** A thread has begun that frame: its time limit runs. */
export const threadStartedSchema = z.strictObject({ started: ticket });

/** How a frame was lost without an outcome. */
export const lossSchema = z.discriminatedUnion('how', [
  z.strictObject({ how: z.literal('error'), detail: z.string() }),
  z.strictObject({ how: z.literal('exited') }),
  z.strictObject({ how: z.literal('memory') }),
  z.strictObject({ how: z.literal('time') }),
]);

export const toHostSchema = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('open'),
    threads: z.number().int().positive(),
    heapPerThreadMb: z.number().positive(),
    frameTimeoutMs: z.number().positive(),
    work: z.string(),
  }),
  z.strictObject({ kind: z.literal('measure'), ticket, task: frameTaskSchema }),
  z.strictObject({ kind: z.literal('close') }),
]);
export type ToHost = z.infer<typeof toHostSchema>;

/** A fault with its whole story, for the log. */
const story = z.string();

export const fromHostSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('outcome'), ticket, outcome: frameOutcomeSchema }),
  z.strictObject({ kind: z.literal('lost'), ticket, loss: lossSchema, story }),
  /** The frame is not at fault: the store cannot be used, or this worker has another version. */
  z.strictObject({ kind: z.literal('refused'), ticket, code: z.string(), message: z.string(), story }),
  /** Nothing can be measured at all. */
  z.strictObject({ kind: z.literal('hopeless'), message: z.string(), story }),
  /** A thread over its time limit does not end: this process must be replaced when its other frames are done. */
  z.strictObject({ kind: z.literal('stuck') }),
]);
export type FromHost = z.infer<typeof fromHostSchema>;
export type Loss = z.infer<typeof lossSchema>;

/** What a thread's work returns for one frame: every failure it survives is a value. */
export const threadReplySchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('outcome'), outcome: frameOutcomeSchema }),
  z.strictObject({ kind: z.literal('failed'), detail: z.string(), story }),
  z.strictObject({ kind: z.literal('refused'), code: z.string(), message: z.string(), story }),
]);
export type ThreadReply = z.infer<typeof threadReplySchema>;
