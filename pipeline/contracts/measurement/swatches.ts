import { z } from 'zod';

/** Where on the subject a surface lies, from the body points; `cloth` and `skin` where they do not tell. */
export const swatchPlaces = [
  'upper-cloth',
  'middle-cloth',
  'lower-cloth',
  'cloth',
  'head-skin',
  'limb-skin',
  'skin',
] as const;
export type SwatchPlace = (typeof swatchPlaces)[number];

/**
 * Mean colour of the small areas of one place that look much alike: natural logarithms of red / green, of blue / green and
 * of green itself in linear light, and how many areas there are. A change of light or of exposure moves all swatches by one vector (von Kries).
 */
export const swatchSchema = z
  .tuple([z.number(), z.number(), z.number(), z.number().int().positive()])
  .readonly();
export type Swatch = z.infer<typeof swatchSchema>;

export const placeSwatchesSchema = z.strictObject({
  place: z.enum(swatchPlaces),
  swatches: z.array(swatchSchema),
});
export type PlaceSwatches = z.infer<typeof placeSwatchesSchema>;
