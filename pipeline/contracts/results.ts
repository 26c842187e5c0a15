import { z } from 'zod';
import { daySchema } from './day.ts';
import { findingSchema, frameVerdicts, garmentVerdicts } from './finding.ts';
import { colourEvidence } from './measurement/colour.ts';
import { measurementSchema } from './measurement/measurement.ts';

export const frameResultSchema = z.strictObject({
  /** Path inside the delivery with `/` between folders; unique, and stable from run to run. */
  id: z.string(),
  garment: z.string(),
  verdict: z.enum(frameVerdicts),
  findings: z.array(findingSchema),
  /** `null` where the frame is unreadable; its `unreadable-file` finding says why. */
  measurement: measurementSchema.nullable(),
});
export type FrameResult = z.infer<typeof frameResultSchema>;

export const coverageSchema = z.strictObject({
  required: z.array(z.string()),
  /** Required view or crop to the frame that shows it best. */
  covered: z.record(z.string(), z.string()),
  missing: z.array(z.string()),
  /** Required view or crop to every usable frame that shows it, best first, each with what it was ranked by. */
  ranked: z
    .record(z.string(), z.array(z.strictObject({ frame: z.string(), because: z.string() })))
    .optional(),
  /** Missing view or crop to why, and whether cleanup would supply it. */
  becauseMissing: z.record(z.string(), z.string()).optional(),
});
export type Coverage = z.infer<typeof coverageSchema>;

/** Coverage factor of the expanded uncertainty of a drift: about 95 % for a normal distribution (JCGM 100:2008, 6.3.3). */
export const driftCoverageFactor = 2;

/** A difference of light: of colour temperature and of tint (positive is green), each with its standard uncertainty. */
const lightDifference = {
  mired: z.number(),
  duv: z.number(),
  sigmaMired: z.number(),
  sigmaDuv: z.number(),
};

/** Colour of the set. `null` members: too few frames could be compared. */
export const driftSchema = z.strictObject({
  /** The light left in the set's own middle, and what that rests on. */
  reference: z
    .strictObject({ cctK: z.number(), duv: z.number(), evidence: z.enum(colourEvidence) })
    .nullable(),
  worst: z
    .strictObject({ frame: z.string(), mired: z.number(), duv: z.number(), deltaE00: z.number().nullable() })
    .nullable(),
  /** Every comparable frame's departure from the reference of the frames it is compared with. */
  frames: z.array(
    z.strictObject({
      frame: z.string(),
      ...lightDifference,
      /** By how much the departure changes the colour of the cloth, exposure divided out; `null` where no cloth is seen. */
      deltaE00: z.number().nullable(),
      sigmaDeltaE00: z.number().nullable(),
      /** What the comparison rests on. */
      evidence: z.enum(colourEvidence),
      /** Which frames it is compared with: those of its own light, or all of them where either light has too few. */
      among: z.enum(['flash', 'natural', 'all']),
    }),
  ),
  /** Flash frames against natural-light frames, where both have a reference of their own. */
  flashAgainstNatural: z.strictObject(lightDifference).nullable(),
});
export type Drift = z.infer<typeof driftSchema>;

export const garmentResultSchema = z.strictObject({
  id: z.string(),
  verdict: z.enum(garmentVerdicts),
  frames: z.array(z.string()),
  findings: z.array(findingSchema),
  coverage: coverageSchema,
  drift: driftSchema,
  /** Further columns of the garment sheet, carried into the documents as they stand. */
  columns: z.record(z.string(), z.string()),
});
export type GarmentResult = z.infer<typeof garmentResultSchema>;

const limitSchema = z.strictObject({
  /** `null`: this level is never reached. */
  value: z.number().nullable(),
  unit: z.string(),
  source: z.string(),
});

export const resultsSchema = z.strictObject({
  schema: z.literal('nightrail/results@1'),
  /** The only part that differs between two runs over the same bytes with the same profile and version. */
  run: z.strictObject({
    startedAt: z.string(),
    finishedAt: z.string(),
    host: z.string(),
    dispatch: z.string(),
  }),
  tool: z.strictObject({
    version: z.string(),
    measurement: z.string(),
    models: z.record(z.string(), z.string()),
  }),
  profile: z.strictObject({
    name: z.string(),
    hash: z.string(),
    /** Check id to whether it was off, and quantity to level to the limit in force. */
    checks: z.record(
      z.string(),
      z.strictObject({
        off: z.boolean(),
        limits: z.record(z.string(), z.record(z.string(), limitSchema)),
      }),
    ),
  }),
  /** One sentence for each thing in the delivery or its sheets that was left out or looks wrong. */
  remarks: z.array(z.string()),
  /** Time line, bodies, and which settings went with which faults. */
  day: daySchema,
  garments: z.array(garmentResultSchema),
  frames: z.array(frameResultSchema),
});
export type Results = z.infer<typeof resultsSchema>;
