import type { Rgb8 } from '../../contracts/frame-image.ts';
import { blobsOfRuns, RunCollector } from '../../numeric/blobs.ts';
import { boxBlur } from '../../numeric/box-blur.ts';
import type { Window } from '../../numeric/gradient.ts';

/** A connected patch of a picture without any structure. */
export interface FlatPatch {
  /** Columns `start` to `end` (one past) of `row`, in px of the picture. */
  readonly runs: readonly { readonly row: number; readonly start: number; readonly end: number }[];
  readonly areaPx: number;
}

/** Codes next to the ceiling are clipped, those in the shade too coarse for a temperature. */
const brightest = 245;
const darkest = 50;
/** Steps over two px of the 5 x 5 mean, codes: noise of sigma 4 leaves 0.7, the edge of a card a fifth or two of its contrast. Folds of cloth step further. */
const meanReach = 2;
const mostStep = 3;

/** Patches of at least `leastPx` in the window, largest first. */
export function flatPatches(picture: Rgb8, window: Window, leastPx: number): readonly FlatPatch[] {
  const columns = window.right - window.left;
  const rows = window.bottom - window.top;
  const flat = new Uint8Array(columns * rows).fill(1);
  for (let channel = 0; channel < 3; channel++) {
    const values = new Float32Array(columns * rows);
    for (let y = 0, i = 0; y < rows; y++) {
      const from = 3 * ((window.top + y) * picture.width + window.left) + channel;
      for (let x = 0; x < columns; x++, i++) values[i] = picture.data[from + 3 * x]!;
    }
    keepFlat(flat, boxBlur(values, columns, rows, meanReach), columns, rows);
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
      row: window.top + marked.row[run]!,
      start: window.left + marked.start[run]!,
      end: window.left + marked.end[run]!,
    });
  }
  return patches;
}

/** Clears the px where one channel is not well exposed or steps from one neighbour to the other. */
function keepFlat(flat: Uint8Array, values: Float32Array, columns: number, rows: number): void {
  for (let y = 1; y < rows - 1; y++) {
    for (let i = y * columns + 1; i < (y + 1) * columns - 1; i++) {
      const value = values[i]!;
      const across = values[i + 1]! - values[i - 1]!;
      const down = values[i + columns]! - values[i - columns]!;
      const within = value >= darkest && value <= brightest;
      if (!within || Math.abs(across) > mostStep || Math.abs(down) > mostStep) flat[i] = 0;
    }
  }
}
