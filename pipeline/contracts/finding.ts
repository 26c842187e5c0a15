import { z } from 'zod';
import { boxSchema } from './box.ts';

/** `note`: worth knowing. `cleanup`: a retoucher can mend it. `reject`: shoot it again. `unmeasured`: could not be judged, a person must look. */
export const severities = ['note', 'cleanup', 'reject', 'unmeasured'] as const;
export type Severity = (typeof severities)[number];

/** Classes of retouching work; the rule stands in the check that gives one. */
export const efforts = ['light', 'moderate', 'heavy'] as const;
export type Effort = (typeof efforts)[number];

/** `accept`: delivered as it is, the finding no longer counts. `insist`: it counts, also where it is only a note. */
export const decisions = ['accept', 'insist'] as const;

/** What a person decided about a finding: the last word. */
export const decisionSchema = z.strictObject({
  decided: z.enum(decisions),
  who: z.string(),
  why: z.string(),
});
export type Decision = z.infer<typeof decisionSchema>;

/** One measured departure from the profile, on a frame or on a garment's set. */
export const findingSchema = z.strictObject({
  check: z.string(),
  severity: z.enum(severities),
  /** What is wrong, a few words. */
  title: z.string(),
  /** What was measured and what to do, one or two sentences. */
  detail: z.string(),
  value: z.union([z.number(), z.string()]).nullable(),
  limit: z.union([z.number(), z.string()]).nullable(),
  unit: z.string(),
  /** Where the limit comes from: a standard, a paper, `common practice` or the profile. */
  source: z.string(),
  region: boxSchema.optional(),
  /** How much work the retoucher has with it, where the check tells. */
  effort: z.enum(efforts).optional(),
  /** The frames a set-level finding is about. */
  frames: z.array(z.string()).optional(),
  /** Set where a person has decided; `severity` stays as it was measured. */
  decision: decisionSchema.optional(),
});
export type Finding = z.infer<typeof findingSchema>;

export const frameVerdicts = ['pass', 'cleanup', 'reject', 'unreadable'] as const;
export type FrameVerdict = (typeof frameVerdicts)[number];
export const garmentVerdicts = ['pass', 'cleanup', 'reshoot'] as const;
export type GarmentVerdict = (typeof garmentVerdicts)[number];
