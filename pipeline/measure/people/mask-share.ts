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
  const before = (x: number, y: number): number => {
    const [column, row] = [x, y].map((place) => Math.min(side, Math.max(0, place)));
    return sums[row! * (side + 1) + column!]!;
  };
  const all = before(side, side);
  return ([x, y, width, height]) => {
    const column = (px: number) => ((px - region.x) / region.width) * side;
    const row = (px: number) => ((px - region.y) / region.height) * side;
    const x0 = Math.floor(column(x));
    const y0 = Math.floor(row(y));
    const x1 = Math.max(x0 + 1, Math.ceil(column(x + width)));
    const y1 = Math.max(y0 + 1, Math.ceil(row(y + height)));
    const inBox = before(x1, y1) - before(x0, y1) - before(x1, y0) + before(x0, y0);
    return { ofBox: inBox / ((x1 - x0) * (y1 - y0)), ofPerson: all > 0 ? inBox / all : 0 };
  };
}
