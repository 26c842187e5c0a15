import type { Rgb8 } from '../../contracts/frame-image.ts';
import { blobsOfRuns } from '../../numeric/blobs.ts';
import { flatPx, flatReach } from '../../numeric/flat-px.ts';
import type { Window } from '../../numeric/gradient.ts';

/** A connected patch of a picture without any structure. */
export interface FlatPatch {
  /** Columns `start` to `end` (one past) of `row`, in px of the picture; row after row, from left to right. */
  readonly runs: readonly { readonly row: number; readonly start: number; readonly end: number }[];
  readonly areaPx: number;
}

const limits = {
  /** Codes next to the ceiling are clipped, those in the shade too coarse for a temperature. */
  brightest: 245,
  darkest: 50,
  /** Noise of sigma 4 leaves 0.7 of a mean, the edge of a card a fifth or two of its contrast. Folds of cloth step further. */
  mostStep: 3,
} as const;

/**
 * Patches of at least `leastPx` in the window, largest first.
 * @param window px of the picture; the outermost of them, and those whose means would need px beyond the picture, count as not flat.
 */
export function flatPatches(picture: Rgb8, window: Window, leastPx: number): readonly FlatPatch[] {
  const area = {
    left: Math.max(flatReach, window.left),
    top: Math.max(flatReach, window.top),
    right: Math.min(picture.width - flatReach, window.right),
    bottom: Math.min(picture.height - flatReach, window.bottom),
  };
  if (area.right <= area.left || area.bottom <= area.top) return [];
  const marked = flatPx(picture, area, limits);
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
