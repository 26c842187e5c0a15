import { z } from 'zod';
import { boxSchema } from '../box.ts';
import { reasonsSchema } from '../reasons.ts';

const share = z.number().min(0).max(1);
const regionShares = z.strictObject({ garment: share.nullable(), skin: share.nullable(), frame: share });

export const exposureSchema = z.strictObject({
  /** Share of the region's px with at least one channel at the ceiling of the file's own encoding. */
  clippedShare: regionShares,
  /** Largest connected clipped patch on the garment as a share of the garment, and where it is. */
  largestClippedBlobShare: share.nullable(),
  largestClippedBlobBox: boxSchema.nullable(),
  /** Share of the garment's px with every channel at the floor of the file's own encoding. */
  blockedShare: share.nullable(),
  /** Median CIE L* (0..100) of the subject's skin, else of its garment. */
  subjectLuma: z.number().nullable(),
  /** Background minus subject, in stops of linear light. */
  backgroundEvDifference: z.number().nullable(),
  reason: reasonsSchema,
});
export type Exposure = z.infer<typeof exposureSchema>;
