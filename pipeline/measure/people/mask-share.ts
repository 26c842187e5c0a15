import type { BoxTuple } from '../../numeric/boxes.ts';
import type { PersonMask } from '../networks/blazepose.ts';

export interface MaskShare {
  /** Share of the box that the person covers, 0..1. */
  readonly ofBox: number;
  /** Share of the person that lies in the box, 0..1. */
  readonly ofPerson: number;
}

/** How a person's mask and a box (px of the picture) share each other. What lies outside the mask's region is not covered. */
export function maskShare({ side, region, cover }: PersonMask, box: BoxTuple): MaskShare {
  const column = (x: number) => ((x - region.x) / region.width) * side;
  const row = (y: number) => ((y - region.y) / region.height) * side;
  const x0 = Math.floor(column(box[0]));
  const y0 = Math.floor(row(box[1]));
  const x1 = Math.max(x0 + 1, Math.ceil(column(box[0] + box[2])));
  const y1 = Math.max(y0 + 1, Math.ceil(row(box[1] + box[3])));
  let inBox = 0;
  for (let y = Math.max(0, y0); y < Math.min(side, y1); y++) {
    for (let x = Math.max(0, x0); x < Math.min(side, x1); x++) inBox += cover[y * side + x]!;
  }
  const all = cover.reduce((sum, value) => sum + value, 0);
  return { ofBox: inBox / ((x1 - x0) * (y1 - y0)), ofPerson: all > 0 ? inBox / all : 0 };
}
