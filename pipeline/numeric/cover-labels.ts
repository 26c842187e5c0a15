import { alignment, bytesAt, doublesAt, kernels, Room } from '../kernels/kernels.ts';

export interface CoverLabels {
  /** Of each cell: 1 in the first mask, 2 in the second, 3 in both, 0 in neither. */
  readonly labels: Uint8Array;
  /** Weight of the cells in each mask: that of a cell is its column's times its row's. */
  readonly weights: readonly [one: number, other: number];
}

/**
 * Joins two masks on one grid.
 * @param one coverage 0..255 a cell, row after row; `null` covers nothing
 * @param least coverage from which a cell lies in a mask
 * @param columnsIn weight of each column; all together below 2^31
 * @param rowsIn weight of each row
 */
export function coverLabels(
  one: Uint8Array | null,
  other: Uint8Array | null,
  least: number,
  columnsIn: Int32Array,
  rowsIn: Int32Array,
): CoverLabels {
  const [columns, rows] = [columnsIn.length, rowsIn.length];
  const cells = columns * rows;
  const room = new Room();
  const masks = [one, other].map(() => room.take(cells + alignment)) as [number, number];
  const labels = room.take(cells + alignment);
  const weights = room.take(16);
  const down = room.put(rowsIn);
  const across = room.put(columnsIn);
  const behind = room.take(alignment);
  bytesAt(across + 4 * columns, behind + alignment - across - 4 * columns).fill(0);
  for (const [index, mask] of [one, other].entries()) {
    const bytes = bytesAt(masks[index]!, cells);
    if (mask === null) bytes.fill(0);
    else bytes.set(mask);
  }
  kernels.labelCells(...masks, least, columns, rows, across, down, labels, weights);
  const [first, second] = doublesAt(weights, 2);
  return { labels: bytesAt(labels, cells).slice(), weights: [first!, second!] };
}
