import { z } from 'zod';

/** Equal steps of the file's own encoding, floor to ceiling. */
export const histogramBins = 64;

const px = z.number().int().nonnegative();

const channelSchema = z.strictObject({
  /** Px in each step, dark to light. */
  bins: z.array(px).length(histogramBins),
  /** Px with the lowest and with the highest code of the encoding: they are in the first and the last step too. */
  atFloor: px,
  atCeiling: px,
});

/** Levels of the whole frame, channel by channel, in the file's own encoding; of large frames on evenly spaced rows, so the steps of a channel sum up to the px counted. */
export const histogramSchema = z.strictObject({
  red: channelSchema,
  green: channelSchema,
  blue: channelSchema,
});
export type Histogram = z.infer<typeof histogramSchema>;
