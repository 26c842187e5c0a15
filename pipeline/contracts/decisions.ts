import { z } from 'zod';
import { decisionSchema } from './finding.ts';

/** One row of the decisions sheet that somebody filled in. */
const decidedSchema = z.strictObject({
  /** As a spreadsheet counts: the header is row 1. */
  row: z.number().int(),
  /** Frame id, or a garment's where the whole garment is meant. */
  target: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('frame'), id: z.string() }),
    z.strictObject({ kind: z.literal('garment'), id: z.string() }),
  ]),
  check: z.string(),
  decision: decisionSchema,
});
export type Decided = z.infer<typeof decidedSchema>;

/** Names of the columns, in the order in which the sheet is first written. */
export const decisionColumns = ['garment', 'frame', 'check', 'finding', 'decision', 'who', 'why'] as const;
