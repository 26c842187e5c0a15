import { z } from 'zod';
import { reasonsSchema } from '../reasons.ts';

/** CIELAB, white D65, 2 degree observer. */
export const labSchema = z.tuple([z.number(), z.number(), z.number()]).readonly();
export type Lab = z.infer<typeof labSchema>;

/**
 * Colour of a surface with brightness divided out: natural logarithms of the ratios of linear red and blue to green.
 * A change of light shifts every surface of a set by about the same amount (von Kries).
 */
export const tintSchema = z.strictObject({
  redGreen: z.number(),
  blueGreen: z.number(),
  /** Spread of the surface's own colours about the median, from the median absolute deviation: large on patterned cloth. */
  spread: z.number().nonnegative(),
  /** How many small areas it rests on. */
  areas: z.number().int().positive(),
});
export type Tint = z.infer<typeof tintSchema>;

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
  /** What the frames of a set are compared by. */
  garmentTint: tintSchema.nullable(),
  skinTint: tintSchema.nullable(),
  reason: reasonsSchema,
});
export type Colour = z.infer<typeof colourSchema>;
