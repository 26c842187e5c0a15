import { z } from 'zod';

/** A code photographed with the frame: the tag that names a garment at its start. */
export const tagSchema = z.strictObject({
  text: z.string(),
  /** The symbology's own name: `QRCode`, `DataMatrix`, `Code128`, `EAN13` or `UPCA`. */
  symbology: z.string(),
  /** Area of the code as a share of the frame. */
  shareOfFrame: z.number().min(0).max(1),
});
export type Tag = z.infer<typeof tagSchema>;
