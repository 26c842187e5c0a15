import { alignment, bytesAt, kernels, Room } from '../kernels/kernels.ts';
import { RunCollector, type Runs } from './blobs.ts';
import type { Window } from './gradient.ts';
import type { RgbPicture } from './resample.ts';

/** px to each side of the square whose mean is looked at. */
export const flatReach = 2;
const squarePx = (2 * flatReach + 1) ** 2;

/** In codes, for the mean of a square in every channel. */
export interface FlatLimits {
  readonly darkest: number;
  readonly brightest: number;
  /** Largest difference between the means of the squares to the left and to the right, and above and below. */
  readonly mostStep: number;
}

/**
 * Px without structure: the mean of the 5 x 5 px around each, channel by channel, lies within the limits and does not step.
 * @param area whole px of the picture that keep `flatReach` from its edges; the outermost of them do not count
 * @returns places in the area
 */
export function flatPx(picture: RgbPicture, area: Window, limits: FlatLimits): Runs {
  const columns = area.right - area.left;
  const rows = area.bottom - area.top;
  const wide = 3 * (columns + 2 * flatReach);
  const room = new Room();
  const rgb = room.take(wide * (rows + 2 * flatReach) + alignment);
  const sums = room.take(8 * (wide + 8) + alignment);
  const into = room.take(3 * columns * rows + alignment);
  const source = bytesAt(rgb, sums - rgb);
  for (let y = 0; y < rows + 2 * flatReach; y++) {
    const start = 3 * ((area.top - flatReach + y) * picture.width + area.left - flatReach);
    source.set(picture.data.subarray(start, start + wide), y * wide);
  }
  const [least, most, step] = [limits.darkest, limits.brightest, limits.mostStep].map(
    (codes) => codes * squarePx,
  ) as [number, number, number];
  kernels.flatSamples(rgb, columns, rows, least, most, step, sums, into);
  return runsOf(bytesAt(into, 3 * columns * rows), columns, rows);
}

/** Runs of px whose three samples are set, without the outermost px. */
function runsOf(samples: Uint8Array, columns: number, rows: number): Runs {
  const runs = new RunCollector();
  for (let y = 1; y < rows - 1; y++) {
    for (let x = 1, i = 3 * (y * columns + 1); x < columns - 1; x++, i += 3) {
      if ((samples[i]! & samples[i + 1]! & samples[i + 2]!) !== 0) runs.mark(x, y, 1);
    }
  }
  return runs;
}
