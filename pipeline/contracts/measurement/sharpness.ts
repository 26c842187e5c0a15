import { z } from 'zod';
import { reasonsSchema } from '../reasons.ts';

/** Blur of the sharpest edges of one region, at native resolution. */
export const regionSharpnessSchema = z.strictObject({
  /** Standard deviation of the Gaussian that spreads an ideal edge as much, native px. */
  blurSigmaPx: z.number().nonnegative(),
  /** Spatial frequency at which contrast has fallen to half, cycles per native px. */
  mtf50CyPx: z.number().nonnegative(),
  /** How many edge points the value rests on. */
  edges: z.number().int().positive(),
  /** Motion: direction of the smear, degrees anticlockwise from the frame's horizontal, 0..180, and its length; `null` where the blur has none. */
  direction: z.strictObject({ deg: z.number(), lengthPx: z.number() }).nullable(),
});
export type RegionSharpness = z.infer<typeof regionSharpnessSchema>;

export const sharpnessRegions = ['eyes', 'face', 'garment', 'background'] as const;

export const sharpnessSchema = z.strictObject({
  eyes: regionSharpnessSchema.nullable(),
  face: regionSharpnessSchema.nullable(),
  garment: regionSharpnessSchema.nullable(),
  background: regionSharpnessSchema.nullable(),
  reason: reasonsSchema,
});
export type Sharpness = z.infer<typeof sharpnessSchema>;
