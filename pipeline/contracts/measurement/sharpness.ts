import { z } from 'zod';
import { reasonsSchema } from '../reasons.ts';

/** What a blur looks like: `motion` runs along one direction, `defocus` is the same in all. */
export const blurKinds = ['motion', 'defocus'] as const;

/** Blur of the sharpest edges of one region, at native resolution. */
export const regionSharpnessSchema = z.strictObject({
  /** Standard deviation of the edge spread (of the Gaussian that spreads an ideal edge as much), native px; along the motion where there is one. */
  blurSigmaPx: z.number().nonnegative(),
  /** Spatial frequency at which contrast has fallen to half, cycles per native px: 0.1874 / sigma for a Gaussian spread, up to 7 % less for a disc or a straight motion. */
  mtf50CyPx: z.number().nonnegative(),
  /** How many edge points the value rests on. */
  edges: z.number().int().positive(),
  /** Motion: direction of the smear, degrees anticlockwise from the frame's horizontal, 0..180, and its length; `null` where the blur has none. */
  direction: z.strictObject({ deg: z.number(), lengthPx: z.number() }).nullable(),
  /** `null` where the edges run in too few directions to tell. */
  kind: z.enum(blurKinds).nullable(),
});
export type RegionSharpness = z.infer<typeof regionSharpnessSchema>;

/** Where in the frame focus lies: blur of the sharpest edges cell by cell, rows from the top, `columns` cells each; `null` where a cell has too few edges. */
export const focusMapSchema = z.strictObject({
  columns: z.number().int().positive(),
  rows: z.number().int().positive(),
  sigmaPx: z.array(z.number().nonnegative().nullable()),
});
export type FocusMap = z.infer<typeof focusMapSchema>;

export const sharpnessSchema = z.strictObject({
  eyes: regionSharpnessSchema.nullable(),
  face: regionSharpnessSchema.nullable(),
  garment: regionSharpnessSchema.nullable(),
  background: regionSharpnessSchema.nullable(),
  focusMap: focusMapSchema,
  reason: reasonsSchema,
});
export type Sharpness = z.infer<typeof sharpnessSchema>;
