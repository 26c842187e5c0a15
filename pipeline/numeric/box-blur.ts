import { alignment, floatsAt, kernels, Room } from '../kernels/kernels.ts';

/** One over the number of cells that the window around each place holds. */
function inverseCounts(places: number, reach: number): Float64Array {
  const inverse = new Float64Array(places);
  for (let place = 0; place < places; place++) {
    inverse[place] = 1 / (Math.min(places - 1, place + reach) - Math.max(0, place - reach) + 1);
  }
  return inverse;
}

/** Mean over a square window of planes of one size that lie in the kernels' memory; see {@link boxBlur}. */
export class WindowMeans {
  private readonly columns: number;
  private readonly rows: number;
  private readonly reach: number;
  private readonly perColumn: number;
  private readonly perRow: number;
  private readonly across: number;
  private readonly sums: number;

  constructor(room: Room, columns: number, rows: number, reach: number) {
    this.columns = columns;
    this.rows = rows;
    this.reach = reach;
    this.perColumn = room.put(inverseCounts(columns, reach));
    this.perRow = room.put(inverseCounts(rows, reach));
    this.across = room.take(4 * columns * rows + alignment);
    this.sums = room.take(8 * columns + 2 * alignment);
  }

  /** @param plane address of 32-bit floating point, with `alignment` bytes to spare behind it; the means take its place. */
  take(plane: number): void {
    const { columns, rows, reach, perColumn, perRow, across, sums } = this;
    kernels.boxBlur(plane, columns, rows, reach, perColumn, perRow, across, sums);
  }
}

/**
 * Replaces every cell by the mean over a square window around it, cut at the edges: the mean is taken over the cells that exist.
 * @param plane row after row, `columns` x `rows`
 * @param reach cells to each side; the window is `2 * reach + 1` wide
 */
export function boxBlur(plane: Float32Array, columns: number, rows: number, reach: number): void {
  const room = new Room();
  const at = room.put(plane);
  room.take(alignment);
  new WindowMeans(room, columns, rows, reach).take(at);
  plane.set(floatsAt(at, plane.length));
}
