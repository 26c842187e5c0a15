import type { Rgb8 } from '../../contracts/frame-image.ts';
import type { BoxTuple } from '../../numeric/boxes.ts';
import { cutLuma, halveTile, type LumaPlane, TileRoom } from '../../numeric/luma.ts';

/** The steepest tenth: enough points to be stable, few enough to be the outlines and not the cloth. */
const steepestShare = 0.1;
/** Smaller boxes have no pixels left once halved twice. */
const leastSidePx = 16;

/** Bins a level; a slope of two neighbours is at most 255 * sqrt(2). */
const binsPerLevel = 8;
const binCount = Math.ceil(255 * Math.SQRT2 * binsPerLevel) + 1;

/** Mean of the largest `count` values, each 0..361: those of whole bins are added as they are, only the bin that is cut is sorted. */
function meanOfLargest(values: Float32Array, count: number): number {
  const bins = new Uint32Array(binCount);
  for (let i = 0; i < values.length; i++) bins[(values[i]! * binsPerLevel) | 0]! += 1;
  let cut = binCount - 1;
  let above = 0;
  while (cut > 0 && above + bins[cut]! < count) above += bins[cut--]!;
  let sum = 0;
  const atCut = new Float32Array(bins[cut]!);
  let cuts = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    const bin = (value * binsPerLevel) | 0;
    if (bin > cut) sum += value;
    else if (bin === cut) atCut[cuts++] = value;
  }
  atCut.sort();
  for (let i = 1; i <= Math.min(cuts, count - above); i++) sum += atCut[cuts - i]!;
  return sum / Math.max(1, count);
}

/** Used again for every box: see {@link TileRoom}. */
const rooms = { full: new TileRoom(), half: new TileRoom(), coarse: new TileRoom(), slopes: new TileRoom() };

/** Mean of the steepest differences between neighbours. */
function steepness({ width, height, data }: LumaPlane): number {
  const slopes = rooms.slopes.take((width - 1) * (height - 1));
  for (let y = 0, at = 0; y < height - 1; y++) {
    for (let x = 0, from = y * width; x < width - 1; x++, from++) {
      const across = data[from + 1]! - data[from]!;
      const down = data[from + width]! - data[from]!;
      slopes[at++] = Math.sqrt(across * across + down * down);
    }
  }
  return meanOfLargest(slopes, slopes.length - Math.floor(slopes.length * (1 - steepestShare)));
}

/**
 * How much of the edges' steepness is left at full resolution compared with a quarter of it: about 1 for an edge sharp to the
 * pixel, 1/4 for a very blurred one, whatever its contrast. Only for comparing people in one picture: it is no blur in px.
 * @returns 0.25..1 or so; `null` where the box is too small or without any edge.
 */
export function relativeFocus(picture: Rgb8, box: BoxTuple): number | null {
  if (box[2] < leastSidePx || box[3] < leastSidePx) return null;
  const full = cutLuma(picture, 3, box[0], box[1], box[0] + box[2], box[1] + box[3], rooms.full);
  const coarse = steepness(halveTile(halveTile(full, rooms.half), rooms.coarse));
  return coarse > 0 ? steepness(full) / coarse : null;
}
