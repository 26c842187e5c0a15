import { z } from 'zod';
import { reasonsSchema } from '../reasons.ts';

/** CIELAB, white D65, 2 degree observer. */
export const labSchema = z.tuple([z.number(), z.number(), z.number()]).readonly();
export type Lab = z.infer<typeof labSchema>;

export const colourSchema = z.strictObject({
  /** Apparent correlated colour temperature of the light left in the picture, K. */
  cctK: z.number().positive().nullable(),
  /** 10^6 / cctK. */
  mired: z.number().positive().nullable(),
  /** Distance from the Planckian locus in CIE 1960 uv; positive is green. */
  duv: z.number().nullable(),
  /** Standard uncertainty of `mired`. */
  sigmaMired: z.number().nonnegative().nullable(),
  /** Median garment colour. */
  garmentLab: labSchema.nullable(),
  /** What the temperature rests on. */
  reference: z.enum(['neutral-card', 'garment', 'skin', 'scene']).nullable(),
  reason: reasonsSchema,
});
export type Colour = z.infer<typeof colourSchema>;
