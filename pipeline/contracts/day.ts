import { z } from 'zod';

/** The plan of a shoot day, minutes a garment. */
export const plan = {
  changeMin: 5,
  shootMin: 5,
  moveMin: 5,
  source: 'common practice: about fifteen minutes a garment outdoors',
} as const;
export const planMin = plan.changeMin + plan.shootMin + plan.moveMin;

const bodySchema = z.strictObject({
  /** Make, model and serial number as the camera wrote them; unique in the day. */
  id: z.string(),
  frames: z.number().int(),
  /** Frames on which the flash fired; frames that do not say count as neither. */
  flash: z.number().int(),
  natural: z.number().int(),
  /** Added to this body's clock to bring it to the first body's, s. */
  clockShiftS: z.number(),
});

/** Times are the cameras' wall clock as ISO 8601 without a zone, clocks brought together. */
const garmentTimeSchema = z.strictObject({
  garment: z.string(),
  from: z.string(),
  to: z.string(),
  frames: z.number().int(),
  /** First to last frame, minutes. */
  shootMin: z.number(),
  /** From the last frame of the garment before to the first of this: changing and moving; `null` for the first, and where the two overlap. */
  gapMin: z.number().nullable(),
  /** How much longer than planned, negative where faster; `null` where the gap is. */
  overPlanMin: z.number().nullable(),
  shots: z.array(z.strictObject({ frame: z.string(), at: z.string(), body: z.string() })),
});

/** How often one fault came with one value of a setting: an interval for the true share (Wilson, 95 %). */
const settingRowSchema = z.strictObject({
  value: z.string(),
  failures: z.number().int(),
  trials: z.number().int(),
  low: z.number(),
  high: z.number(),
});

const settingFaultSchema = z.strictObject({
  setting: z.string(),
  check: z.string(),
  /** In the order of the setting. Intervals of at least two of them do not meet. */
  rows: z.array(settingRowSchema),
});

export const daySchema = z.strictObject({
  bodies: z.array(bodySchema),
  /** Garments with at least one timed frame, in order of time. */
  garments: z.array(garmentTimeSchema),
  settings: z.array(settingFaultSchema),
  /** Frames without a capture time: they are in no time line. */
  untimed: z.number().int(),
});
export type Day = z.infer<typeof daySchema>;
export type GarmentTime = z.infer<typeof garmentTimeSchema>;
export type SettingFault = z.infer<typeof settingFaultSchema>;
