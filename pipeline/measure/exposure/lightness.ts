/** Median luminance of a region of the analysis picture. */
import type { Mask, Rgb8 } from '../../contracts/frame-image.ts';
import { countRootLuminance } from '../../numeric/colour/luminance.ts';
import { insideCoverage } from './region-map.ts';

/** Bins are even in the square root of luminance: 0.02 of L* wide in the middle of the scale, 0.04 in deep shade. */
const bins = 4096;
/** Rows looked at: every second one. Rows next to each other show nearly the same, and the median of half a region is the region's to a hundredth of L*. */
const rowStep = 2;

/**
 * Relative luminance Y (0..1) below which half of the region's px lie; `null` where the mask holds no px.
 * @throws RangeError where the mask has not the size of the picture.
 */
export function medianLuminance(picture: Rgb8, mask: Mask): number | null {
  if (mask.width !== picture.width || mask.height !== picture.height) {
    throw new RangeError(
      `Expected a mask of ${picture.width} x ${picture.height}, received ${mask.width} x ${mask.height}.`,
    );
  }
  const histogram = countRootLuminance(picture, mask.data, insideCoverage, rowStep, bins);
  const count = histogram.reduce((sum, px) => sum + px, 0);
  if (count === 0) return null;
  let below = 0;
  for (let bin = 0; bin <= bins; bin++) {
    below += histogram[bin]!;
    if (2 * below >= count) return (bin / bins) ** 2;
  }
  return null;
}
