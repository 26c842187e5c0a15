import { z } from 'zod';
import { boxSchema } from '../box.ts';
import { reasonsSchema } from '../reasons.ts';
import { placeSwatchesSchema } from './swatches.ts';

/** CIELAB, white D65, 2 degree observer. */
export const labSchema = z.tuple([z.number(), z.number(), z.number()]).readonly();

/** What a colour can be told from, in order of trust. */
export const colourEvidence = ['neutral-card', 'garment', 'skin', 'scene'] as const;
export type ColourEvidence = (typeof colourEvidence)[number];

export const colourSchema = z.strictObject({
  /** Apparent correlated colour temperature of the light left in the picture, K. */
  cctK: z.number().positive().nullable(),
  /** 10^6 / cctK. */
  mired: z.number().positive().nullable(),
  /** Distance from the Planckian locus in CIE 1960 uv; positive is green. */
  duv: z.number().nullable(),
  /** Standard uncertainty of `mired`. */
  sigmaMired: z.number().nonnegative().nullable(),
  /** Standard uncertainty of `duv`. */
  sigmaDuv: z.number().nonnegative().nullable(),
  /** Median garment colour. */
  garmentLab: labSchema.nullable(),
  /** What the temperature rests on. */
  reference: z.enum(colourEvidence).nullable(),
  /** Where the neutral card lies that the temperature rests on; `null` without one. */
  cardBox: boxSchema.nullable(),
  /** The colours of cloth and skin by which the frames of a set are compared; empty where too little of both is well exposed. */
  swatches: z.array(placeSwatchesSchema),
  reason: reasonsSchema,
});
export type Colour = z.infer<typeof colourSchema>;
