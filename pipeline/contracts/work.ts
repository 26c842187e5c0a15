import { z } from 'zod';
import type { Delivery } from './delivery.ts';

/** What any dispatcher hands to a worker for one frame; plain JSON. */
export const frameTaskSchema = z.strictObject({
  frameId: z.string(),
  path: z.string(),
  /** Folder of the measurement store. */
  cache: z.string(),
  /** Measurement version that the submitter expects; a worker of another version must not answer. */
  version: z.string(),
});
export type FrameTask = z.infer<typeof frameTaskSchema>;

/** What comes back: where the measurement is, or why there is none. Never pixels, never the measurement itself. */
export const frameOutcomeSchema = z.discriminatedUnion('ok', [
  z.strictObject({
    ok: z.literal(true),
    frameId: z.string(),
    contentHash: z.string(),
    fromCache: z.boolean(),
  }),
  z.strictObject({
    ok: z.literal(false),
    frameId: z.string(),
    /** Whether the reason was known from an earlier run over the same bytes. */
    fromCache: z.boolean(),
    /** The disk or network is at fault and may answer later: worth another try where tries can wait. */
    mayPass: z.boolean(),
    /** Why the frame could not be read or measured: one plain sentence that names what to do. */
    reason: z.string(),
  }),
]);
export type FrameOutcome = z.infer<typeof frameOutcomeSchema>;

export interface Progress {
  readonly done: number;
  readonly total: number;
  readonly frameId: string;
  readonly fromCache: boolean;
}

/** Gets every frame of a delivery measured. The same promise holds for each adapter: one outcome a frame, in the delivery's order. */
export interface Dispatcher {
  readonly name: string;
  measure(
    delivery: Delivery,
    onProgress: (progress: Progress) => void,
    signal: AbortSignal,
  ): Promise<readonly FrameOutcome[]>;
  close(): Promise<void>;
}
