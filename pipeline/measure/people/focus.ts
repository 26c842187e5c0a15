import type { Rgb8 } from '../../contracts/frame-image.ts';
import type { BoxTuple } from '../../numeric/boxes.ts';
import { cutLuma, halveTile, type LumaPlane } from '../../numeric/luma.ts';

/** The steepest tenth: enough points to be stable, few enough to be the outlines and not the cloth. */
const steepestShare = 0.1;
/** Smaller boxes have no pixels left once halved twice. */
const leastSidePx = 16;

/** Mean of the steepest differences between neighbours. */
function steepness({ width, height, data }: LumaPlane): number {
  const slopes = new Float32Array((width - 1) * (height - 1));
  for (let y = 0, at = 0; y < height - 1; y++) {
    for (let x = 0; x < width - 1; x++) {
      const here = data[y * width + x]!;
      slopes[at++] = Math.hypot(data[y * width + x + 1]! - here, data[(y + 1) * width + x]! - here);
    }
  }
  slopes.sort();
  const from = Math.floor(slopes.length * (1 - steepestShare));
  return slopes.subarray(from).reduce((sum, slope) => sum + slope, 0) / Math.max(1, slopes.length - from);
}

/**
 * How much of the edges' steepness is left at full resolution compared with a quarter of it: about 1 for an edge sharp to the
 * pixel, 1/4 for a very blurred one, whatever its contrast. Only for comparing people in one picture: it is no blur in px.
 * @returns 0.25..1 or so; `null` where the box is too small or without any edge.
 */
export function relativeFocus(picture: Rgb8, box: BoxTuple): number | null {
  if (box[2] < leastSidePx || box[3] < leastSidePx) return null;
  const full = cutLuma(picture, 3, box[0], box[1], box[0] + box[2], box[1] + box[3]);
  const coarse = steepness(halveTile(halveTile(full)));
  return coarse > 0 ? steepness(full) / coarse : null;
}
