import { z } from 'zod';

export const deliveredFrameSchema = z.strictObject({
  /** Path inside the delivery with `/` between folders. */
  id: z.string(),
  garment: z.string(),
  /** Absolute path on this machine. */
  path: z.string(),
});
export type DeliveredFrame = z.infer<typeof deliveredFrameSchema>;

export const deliveredGarmentSchema = z.strictObject({
  id: z.string(),
  /** Frame ids in the order of the documents. */
  frames: z.array(z.string()),
  /** Views and crops that the sheet asks for; `null` where the profile decides. */
  required: z.array(z.string()).nullable(),
  columns: z.record(z.string(), z.string()),
});
export type DeliveredGarment = z.infer<typeof deliveredGarmentSchema>;

/** A delivery folder as intake understood it. */
export const deliverySchema = z.strictObject({
  root: z.string(),
  garments: z.array(deliveredGarmentSchema),
  frames: z.array(deliveredFrameSchema),
  /** `capture`: the folder says nothing about garments; they are told apart by tags and capture times once frames are measured. */
  grouping: z.enum(['given', 'capture']).optional(),
  /** One sentence for each thing that was left out or looks wrong (a sheet row without frames, a link that leads in a circle). */
  remarks: z.array(z.string()),
});
export type Delivery = z.infer<typeof deliverySchema>;
