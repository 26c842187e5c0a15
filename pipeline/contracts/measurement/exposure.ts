import { z } from 'zod';
import { boxSchema } from '../box.ts';
import { reasonsSchema } from '../reasons.ts';
import { histogramSchema } from './histogram.ts';

const share = z.number().min(0).max(1);
const regionShares = z.strictObject({ garment: share.nullable(), skin: share.nullable(), frame: share });
/** CIE L*, 0 to 100. */
const lightness = z.number().min(0).max(100).nullable();

/** The strip that the flash did not reach because the shutter was still opening, or already closing, when it fired. */
export const flashBandSchema = z.strictObject({
  /** Edge of the upright frame along which the strip lies. */
  edge: z.enum(['top', 'bottom', 'left', 'right']),
  /** How far the strip reaches into the frame, as a share of the side along which the shutter travels. */
  reachShare: share,
  /** How much darker it is than its neighbourhood, in stops of linear light. */
  depthStops: z.number(),
  /** How well the picture goes on across the strip's border, 0..1: 1 where both sides show the same things, only darker. */
  continuity: share,
});
export type FlashBand = z.infer<typeof flashBandSchema>;

export const exposureSchema = z.strictObject({
  /** Share of the region's px with at least one channel at the ceiling of the file's own encoding. */
  clippedShare: regionShares,
  /** The same with at least two channels, and with all three. */
  clippedTwoShare: regionShares,
  clippedThreeShare: regionShares,
  /** Largest connected clipped patch on the garment as a share of the garment, and where it is. */
  largestClippedBlobShare: share.nullable(),
  largestClippedBlobBox: boxSchema.nullable(),
  /**
   * Texture left in that patch: root mean square step between neighbouring px of the channel that is clipped least,
   * in codes of 8 bits; 0 is a blank patch. `null` where there is none.
   */
  largestClippedBlobTexture: z.number().nonnegative().nullable(),
  /** Clipped patches of the garment too large for the glint of a button or of jewellery: share of the garment's px. */
  lostClothShare: share.nullable(),
  /** Px of those patches with at least two channels at the ceiling, as a share of the garment's px. */
  lostClothTwoShare: share.nullable(),
  /** Clipped patches small enough to be such a glint: how many, and share of the garment's px. */
  specularPoints: z.strictObject({ count: z.number().int().nonnegative(), share }).nullable(),
  /** Share of the garment's px with every channel at the floor of the file's own encoding. */
  blockedShare: share.nullable(),
  /** Largest connected blocked patch as a share of the garment. */
  largestBlockedBlobShare: share.nullable(),
  /** Median CIE L* (0..100) of the subject's skin, else of its garment. */
  subjectLuma: lightness,
  skinLuma: lightness,
  garmentLuma: lightness,
  backgroundLuma: lightness,
  /** Background minus subject (skin, else garment), in stops of linear light, from the medians above. */
  backgroundEvDifference: z.number().nullable(),
  /** `null` where no strip was found or none can be there; the reason says which. */
  flashBand: flashBandSchema.nullable(),
  histogram: histogramSchema,
  reason: reasonsSchema,
});
export type Exposure = z.infer<typeof exposureSchema>;
