/** What lies in Redis for a job, and what comes back: small, plain and validated on both sides. Paths are relative to the shared folder. */
import { z } from 'zod';

/** A path below the shared folder: no way up or out of it. */
const sharedPathSchema = z
  .string()
  .refine(
    (path) => !path.startsWith('/') && !path.split('/').includes('..'),
    'leads out of the shared folder',
  );
const contentHashSchema = z.string().regex(/^[0-9a-f]{64}$/);

const whereSchema = z.strictObject({
  run: z.string(),
  /** Folder of the delivery. */
  delivery: sharedPathSchema,
  /** Folder of the measurement store. */
  cache: sharedPathSchema,
});

export const queuedFrameSchema = z.strictObject({
  path: sharedPathSchema,
  /** SHA-256 of its bytes when it was submitted. */
  contentHash: contentHashSchema,
});
export type QueuedFrame = z.infer<typeof queuedFrameSchema>;

export const frameJobSchema = whereSchema.extend(queuedFrameSchema.shape);
export type FrameJob = z.infer<typeof frameJobSchema>;

export const openingJobSchema = whereSchema.extend({
  /** Number of the garment in its run. */
  garment: z.number().int().nonnegative(),
  urgent: z.boolean(),
  frames: z.array(queuedFrameSchema),
});
export type OpeningJob = z.infer<typeof openingJobSchema>;

/** Where a frame's job did not simply measure what was submitted. */
export const frameExceptionSchema = z.union([
  /** The file was replaced meanwhile: these are the bytes that were measured. */
  z.strictObject({ contentHash: contentHashSchema }),
  /** It cannot be measured. */
  z.strictObject({ reason: z.string() }),
  /** Not the frame's fault. */
  z.strictObject({ code: z.string(), message: z.string() }),
  /** The run was stopped before it was begun. */
  z.strictObject({ skipped: z.literal(true) }),
]);
export type FrameException = z.infer<typeof frameExceptionSchema>;

/** What a frame's job returns; empty where there is nothing to say. */
export const frameReplySchema = z.union([z.literal(''), frameExceptionSchema]);
export type FrameReply = z.infer<typeof frameReplySchema>;

/** The exceptions of a garment: place in its list of frames, and what was otherwise. */
export const garmentReplySchema = z.array(z.tuple([z.number().int().nonnegative(), frameExceptionSchema]));
export type GarmentReply = z.infer<typeof garmentReplySchema>;

/** The exceptions of a delivery by number of garment. */
export const deliveryReplySchema = z.record(z.string(), garmentReplySchema);
export type DeliveryReply = z.infer<typeof deliveryReplySchema>;
