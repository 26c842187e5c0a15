import { z } from 'zod';
import { driftSchema } from './results.ts';

const evidencePictureSchema = z.strictObject({
  /** File name only: no folder can be named. */
  name: z.string().regex(/^[a-z0-9][a-z0-9._-]*$/i),
  bytes: z.number().int().nonnegative(),
});

const about = { version: z.string(), contentHash: z.string() };

/** What a file of the measurement store says before the measurement: what one file's bytes gave, or why they cannot be measured. */
export const storedHeadSchema = z.discriminatedUnion('ok', [
  z.strictObject({
    ok: z.literal(true),
    ...about,
    evidence: z.array(evidencePictureSchema),
    /** First byte of the swatches in the text of the measurement, and the one after their last. */
    swatchesAt: z.tuple([z.number().int(), z.number().int()]).readonly(),
  }),
  z.strictObject({ ok: z.literal(false), ...about, reason: z.string() }),
]);
export type StoredHead = z.infer<typeof storedHeadSchema>;

/** How sets of frames compare, by what is in each set. */
export const keptDriftSchema = z.strictObject({
  schema: z.literal('nightrail/kept-drift@1'),
  sets: z.record(z.string(), driftSchema),
});

/** Which documents a run wrote, so that a later one removes what it no longer writes and nothing else. Paths relative to the output folder. */
export const writtenSchema = z.strictObject({
  schema: z.literal('nightrail/documents@1'),
  files: z.array(z.string()),
});
