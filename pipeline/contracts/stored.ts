import { z } from 'zod';
import { measurementSchema } from './measurement/measurement.ts';

const evidencePictureSchema = z.strictObject({
  /** File name only: no folder can be named. */
  name: z.string().regex(/^[a-z0-9][a-z0-9._-]*$/i),
  bytes: z.number().int().nonnegative(),
});

/** One file of the measurement store: what one file's bytes gave, or why they cannot be measured. */
export const storedSchema = z.discriminatedUnion('ok', [
  z.strictObject({
    ok: z.literal(true),
    version: z.string(),
    evidence: z.array(evidencePictureSchema),
    measurement: measurementSchema,
  }),
  z.strictObject({
    ok: z.literal(false),
    version: z.string(),
    contentHash: z.string(),
    reason: z.string(),
  }),
]);

/** Which documents a run wrote, so that a later one removes what it no longer writes and nothing else. Paths relative to the output folder. */
export const writtenSchema = z.strictObject({
  schema: z.literal('nightrail/documents@1'),
  files: z.array(z.string()),
});
