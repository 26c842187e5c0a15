import { alignment, floatsAt, kernels, Room } from '../kernels/kernels.ts';
import { bilinearPlaces } from './bilinear-places.ts';
import { WindowMeans } from './box-blur.ts';

/** One value a cell, row after row. */
export interface Plane {
  readonly columns: number;
  readonly rows: number;
  readonly data: Float32Array;
}

/** Cells of a plane reduced by `step`: the blocks at the far edges may be smaller. */
export const reducedCells = (cells: number, step: number): number => Math.ceil(cells / step);

/**
 * Smooths `values` and moves their edges onto those of `guide`: in every window `values` is fitted as a straight line of `guide`,
 * and each cell takes the mean of the lines of the windows it lies in.
 *
 * He, Sun, Tang, "Guided Image Filtering", PAMI 35 (2013), equations 5, 6 and 8, with a grey guide; the lines are found on planes
 * reduced by `step` and read bilinearly, as in He and Sun, "Fast Guided Filter", arXiv:1505.00996.
 *
 * @param guide any unit
 * @param values on the guide's plane reduced by `step`: `reducedCells` wide and high, each the mean of its block. Any unit; the result
 *   has the same and may reach a little beyond their range
 * @param reach cells of the guide to each side of a window, a multiple of `step` or about
 * @param variance of the guide below which a window counts as flat (epsilon of the paper), in squared units of the guide
 * @param step 1 is the filter of the first paper
 * @param into where the result is put; may be the guide's own data
 * @returns one value a cell of the guide
 */
export function guidedFilter(
  guide: Plane,
  values: Plane,
  reach: number,
  variance: number,
  step = 1,
  into: Float32Array = new Float32Array(guide.data.length),
): Float32Array {
  const { columns, rows } = guide;
  const [length, height] = [values.columns, values.rows];
  const cells = length * height;
  const across = bilinearPlaces(columns, length, 0, step, 1);
  const down = bilinearPlaces(rows, height, 0, step, 1);

  const room = new Room();
  const plane = () => room.take(4 * cells + alignment);
  const result = room.put(guide.data);
  const [mean, offset, slope, square] = [plane(), plane(), plane(), plane()];
  const windows = new WindowMeans(room, length, height, Math.max(1, Math.round(reach / step)));
  const [above, below, part] = [room.put(down.before), room.put(down.next), room.put(down.share)];
  const [left, right, share] = [room.put(across.before), room.put(across.next), room.put(across.share)];
  const row = room.take(16 * length);

  floatsAt(offset, cells).set(values.data);
  kernels.blockMeans(result, columns, rows, step, row, mean);
  kernels.products(mean, offset, cells, slope);
  kernels.products(mean, mean, cells, square);
  for (const of of [mean, offset, slope, square]) windows.take(of);
  kernels.fitLines(mean, offset, slope, square, variance, cells);
  for (const of of [slope, offset]) windows.take(of);
  kernels.applyLines(
    slope,
    offset,
    length,
    above,
    below,
    part,
    left,
    right,
    share,
    row,
    result,
    columns,
    rows,
  );
  into.set(floatsAt(result, columns * rows));
  return into;
}
