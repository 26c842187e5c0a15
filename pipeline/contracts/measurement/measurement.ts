import { z } from 'zod';
import { colourSchema } from './colour.ts';
import { exposureSchema } from './exposure.ts';
import { captureSchema, fileSchema } from './file.ts';
import { framingSchema, peopleSchema } from './people.ts';
import { sharpnessSchema } from './sharpness.ts';

/** Everything measured on one frame. It depends on the file's bytes and the measurement version alone, never on a profile. */
export const measurementSchema = z.strictObject({
  /** SHA-256 of the very bytes that were decoded, lower-case hex. */
  contentHash: z.string().regex(/^[0-9a-f]{64}$/),
  file: fileSchema,
  capture: captureSchema,
  people: peopleSchema,
  framing: framingSchema,
  sharpness: sharpnessSchema,
  exposure: exposureSchema,
  colour: colourSchema,
  likeness: z.strictObject({
    /** Difference hash of the upright frame: 64 bits as 16 hex digits. */
    dhash64: z.string().regex(/^[0-9a-f]{16}$/),
  }),
});
export type Measurement = z.infer<typeof measurementSchema>;
