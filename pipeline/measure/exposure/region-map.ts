import type { Mask } from '../../contracts/frame-image.ts';

/** Bits of `RegionMap.labels`. */
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
  const grid = garment ?? skin ?? { width: 1, height: 1, data: new Uint8Array(1) };
  if (garment && skin && (garment.width !== skin.width || garment.height !== skin.height)) {
    throw new RangeError(
      `Expected masks of one size, received ${garment.width} x ${garment.height} and ${skin.width} x ${skin.height}.`,
    );
  }
  const labels = new Uint8Array(grid.width * grid.height);
  mark(labels, garment, garmentBit);
  mark(labels, skin, skinBit);
  const columnOf = cells(widthPx, grid.width);
  const rowOf = cells(heightPx, grid.height);
  const [garmentPx, skinPx] = areas(labels, occupancy(columnOf, grid.width), occupancy(rowOf, grid.height));
  const rowStartOf = new Int32Array(heightPx);
  for (let y = 0; y < heightPx; y++) rowStartOf[y] = rowOf[y]! * grid.width;
  return { labels, columnOf, rowStartOf, garmentPx, skinPx };
}

function mark(labels: Uint8Array, mask: Mask | null, bit: number): void {
  if (mask === null) return;
  const { data } = mask;
  for (let i = 0; i < labels.length; i++) labels[i]! |= data[i]! >= insideCoverage ? bit : 0;
}

function areas(labels: Uint8Array, columnsIn: Int32Array, rowsIn: Int32Array): [number, number] {
  let garmentPx = 0;
  let skinPx = 0;
  for (let row = 0, i = 0; row < rowsIn.length; row++) {
    for (let column = 0; column < columnsIn.length; column++, i++) {
      if (labels[i] === 0) continue;
      const areaPx = columnsIn[column]! * rowsIn[row]!;
      if (labels[i]! & garmentBit) garmentPx += areaPx;
      if (labels[i]! & skinBit) skinPx += areaPx;
    }
  }
  return [garmentPx, skinPx];
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
