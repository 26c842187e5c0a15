import type { Rgb8 } from '../../contracts/frame-image.ts';
import { blobsOfRuns, RunCollector } from '../../numeric/blobs.ts';
import type { Window } from '../../numeric/gradient.ts';

/** A connected patch of a picture without any structure. */
export interface FlatPatch {
  /** Columns `start` to `end` (one past) of `row`, in px of the picture; row after row, from left to right. */
  readonly runs: readonly { readonly row: number; readonly start: number; readonly end: number }[];
  readonly areaPx: number;
}

/** Codes next to the ceiling are clipped, those in the shade too coarse for a temperature. */
const brightest = 245;
const darkest = 50;
/** Steps over two px of the 5 x 5 mean, codes: noise of sigma 4 leaves 0.7, the edge of a card a fifth or two of its contrast. Folds of cloth step further. */
const reach = 2;
const side = 2 * reach + 1;
const mostStep = 3;

/**
 * Patches of at least `leastPx` in the window, largest first.
 * @param window px of the picture; the outermost of them, and those whose means would need px beyond the picture, count as not flat.
 */
export function flatPatches(picture: Rgb8, window: Window, leastPx: number): readonly FlatPatch[] {
  const area = {
    left: Math.max(reach, window.left),
    top: Math.max(reach, window.top),
    right: Math.min(picture.width - reach, window.right),
    bottom: Math.min(picture.height - reach, window.bottom),
  };
  const columns = area.right - area.left;
  const rows = area.bottom - area.top;
  if (columns < 1 || rows < 1) return [];
  const flat = new Uint8Array(columns * rows).fill(1);
  const sums = new Int32Array(columns * rows);
  for (let channel = 0; channel < 3; channel++) {
    takeSums(picture, area, channel, sums);
    keepFlat(flat, sums, columns, rows);
  }
  const marked = new RunCollector();
  for (let y = 1; y < rows - 1; y++) {
    for (let x = 1; x < columns - 1; x++) if (flat[y * columns + x] === 1) marked.mark(x, y, 1);
  }
  const { blobs, blobOfRun } = blobsOfRuns(marked);
  const patches = blobs
    .filter(({ areaPx }) => areaPx >= leastPx)
    .map(({ areaPx }) => ({ areaPx, runs: [] as FlatPatch['runs'][number][] }));
  for (let run = 0; run < marked.count; run++) {
    patches[blobOfRun[run]!]?.runs.push({
      row: area.top + marked.row[run]!,
      start: area.left + marked.start[run]!,
      end: area.left + marked.end[run]!,
    });
  }
  return patches;
}

/** Writes the sums of one channel over the 5 x 5 px round every px of the area, which must keep `reach` px from the picture's edges. */
function takeSums(
  { width, data }: Rgb8,
  { left, top, right, bottom }: Window,
  channel: number,
  sums: Int32Array,
): void {
  /** Of each column, the last five rows. */
  const down = new Int32Array(right - left + 2 * reach);
  let at = 0;
  for (let y = top - reach; y < bottom + reach; y++) {
    const entering = 3 * (y * width + left - reach) + channel;
    const leaving = y < top - reach + side ? -1 : entering - 3 * side * width;
    if (leaving < 0) for (let x = 0; x < down.length; x++) down[x]! += data[entering + 3 * x]!;
    else {
      for (let x = 0; x < down.length; x++) down[x]! += data[entering + 3 * x]! - data[leaving + 3 * x]!;
    }
    if (y < top + reach) continue;
    let sum = 0;
    for (let x = 0; x < side - 1; x++) sum += down[x]!;
    for (let x = side - 1; x < down.length; x++) {
      sum += down[x]!;
      sums[at++] = sum;
      sum -= down[x - side + 1]!;
    }
  }
}

/** Clears the px where one channel is not well exposed or steps from one neighbour to the other. */
function keepFlat(flat: Uint8Array, sums: Int32Array, columns: number, rows: number): void {
  const [least, most, step] = [darkest, brightest, mostStep].map((codes) => codes * side * side) as [
    number,
    number,
    number,
  ];
  for (let y = 1; y < rows - 1; y++) {
    for (let i = y * columns + 1; i < (y + 1) * columns - 1; i++) {
      const across = sums[i + 1]! - sums[i - 1]!;
      const down = sums[i + columns]! - sums[i - columns]!;
      const within = sums[i]! >= least && sums[i]! <= most;
      if (!within || Math.abs(across) > step || Math.abs(down) > step) flat[i] = 0;
    }
  }
}
