import { z } from 'zod';
import { boxSchema } from '../box.ts';
import { colourSchema } from './colour.ts';
import { exposureSchema } from './exposure.ts';
import { captureSchema, fileSchema } from './file.ts';
import { framingSchema, peopleSchema } from './people.ts';
import { sharpnessSchema } from './sharpness.ts';
import { tagSchema } from './tag.ts';

/** A small picture cut from the frame while it was decoded, for the documents: stored beside the measurement under `file`. */
export const pictureSchema = z.strictObject({
  file: z.string().regex(/^[a-z0-9-]+\.jpg$/),
  /** `frame`: the whole frame at reading size; `small`: the same for sheets and lists; the others at 100 %. */
  shows: z.enum(['frame', 'small', 'eyes', 'face', 'garment']),
  /** Which part of the frame. */
  box: boxSchema,
  width: z.number().int().positive(),
  height: z.number().int().positive(),
});
export type Picture = z.infer<typeof pictureSchema>;

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
  pictures: z.array(pictureSchema),
  /** The tag in the frame; `null` where none could be read. */
  tag: tagSchema.nullable().optional(),
});
export type Measurement = z.infer<typeof measurementSchema>;
