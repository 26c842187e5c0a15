import type { Mask } from '../../contracts/frame-image.ts';
import { coverLabels } from '../../numeric/cover-labels.ts';

/** Bits of `RegionMap.labels`, as {@link coverLabels} sets them for its first and its second mask. */
export const garmentBit = 1;
export const skinBit = 2;

/** Coverage from which a cell of a mask counts as inside: half of 255. */
export const insideCoverage = 128;

/** Garment and skin on one grid, read at native resolution: a px belongs to the cell that its centre falls into. */
export interface RegionMap {
  readonly labels: Uint8Array;
  /** For each native column, the column of the grid. */
  readonly columnOf: Int32Array;
  /** For each native row, where the grid's row begins in `labels`. */
  readonly rowStartOf: Int32Array;
  /** Native px of the regions. */
  readonly garmentPx: number;
  readonly skinPx: number;
}

/** @throws RangeError where the two masks differ in size. */
export function regionMap(
  garment: Mask | null,
  skin: Mask | null,
  widthPx: number,
  heightPx: number,
): RegionMap {
  const grid = garment ?? skin ?? { width: 1, height: 1 };
  if (garment && skin && (garment.width !== skin.width || garment.height !== skin.height)) {
    throw new RangeError(
      `Expected masks of one size, received ${garment.width} x ${garment.height} and ${skin.width} x ${skin.height}.`,
    );
  }
  const columnOf = cells(widthPx, grid.width);
  const rowOf = cells(heightPx, grid.height);
  const {
    labels,
    weights: [garmentPx, skinPx],
  } = coverLabels(
    garment?.data ?? null,
    skin?.data ?? null,
    insideCoverage,
    occupancy(columnOf, grid.width),
    occupancy(rowOf, grid.height),
  );
  const rowStartOf = new Int32Array(heightPx);
  for (let y = 0; y < heightPx; y++) rowStartOf[y] = rowOf[y]! * grid.width;
  return { labels, columnOf, rowStartOf, garmentPx, skinPx };
}

function cells(native: number, reduced: number): Int32Array {
  const cellOf = new Int32Array(native);
  for (let i = 0; i < native; i++) {
    cellOf[i] = Math.min(reduced - 1, Math.floor(((i + 0.5) * reduced) / native));
  }
  return cellOf;
}

function occupancy(cellOf: Int32Array, cellCount: number): Int32Array {
  const count = new Int32Array(cellCount);
  for (const cell of cellOf) count[cell]!++;
  return count;
}
