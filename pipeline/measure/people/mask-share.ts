import type { BoxTuple } from '../../numeric/boxes.ts';
import type { PersonMask } from '../networks/blazepose.ts';

export interface MaskShare {
  /** Share of the box that the person covers, 0..1. */
  readonly ofBox: number;
  /** Share of the person that lies in the box, 0..1. */
  readonly ofPerson: number;
}

/**
 * Sums of all cells above and to the left, one row and column more than the mask (summed-area table; Crow, SIGGRAPH 1984): a frame
 * has dozens of boxes to compare with one mask.
 */
function sumsBefore(cover: Float32Array, side: number): Float64Array {
  const columns = side + 1;
  const sums = new Float64Array(columns * columns);
  for (let y = 0; y < side; y++) {
    let row = 0;
    for (let x = 0; x < side; x++) {
      row += cover[y * side + x]!;
      sums[(y + 1) * columns + x + 1] = sums[y * columns + x + 1]! + row;
    }
  }
  return sums;
}

/**
 * How a person's mask and a box share each other. What lies outside the mask's region is not covered.
 * @returns a function of boxes in px of the picture.
 */
export function maskShare({ side, region, cover }: PersonMask): (box: BoxTuple) => MaskShare {
  const sums = sumsBefore(cover, side);
  return (box) => shareOf(sums, side, region, box);
}

/** Sum of the cells above and to the left of a corner, which may lie outside the mask. */
function sumBefore(sums: Float64Array, side: number, x: number, y: number): number {
  const column = Math.min(side, Math.max(0, x));
  const row = Math.min(side, Math.max(0, y));
  return sums[row * (side + 1) + column]!;
}

function shareOf(
  sums: Float64Array,
  side: number,
  region: PersonMask['region'],
  [x, y, width, height]: BoxTuple,
): MaskShare {
  const x0 = Math.floor(((x - region.x) / region.width) * side);
  const y0 = Math.floor(((y - region.y) / region.height) * side);
  const x1 = Math.max(x0 + 1, Math.ceil(((x + width - region.x) / region.width) * side));
  const y1 = Math.max(y0 + 1, Math.ceil(((y + height - region.y) / region.height) * side));
  const inBox =
    sumBefore(sums, side, x1, y1) -
    sumBefore(sums, side, x0, y1) -
    sumBefore(sums, side, x1, y0) +
    sumBefore(sums, side, x0, y0);
  const all = sumBefore(sums, side, side, side);
  return { ofBox: inBox / ((x1 - x0) * (y1 - y0)), ofPerson: all > 0 ? inBox / all : 0 };
}
