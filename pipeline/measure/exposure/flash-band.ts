/**
 * The dark strip that a focal-plane shutter leaves when it is set faster than its flash sync time: a curtain still covers one edge of
 * the sensor while the flash burns. The shutter travels along the short side of the frame.
 */
import type { Rgb8 } from '../../contracts/frame-image.ts';
import type { FlashBand } from '../../contracts/measurement/exposure.ts';
import type { Capture } from '../../contracts/measurement/file.ts';
import { luminanceByCell } from '../../numeric/colour/luminance.ts';
import { type BrightnessGrid, findWholeWidthStep } from '../../numeric/whole-width-step.ts';

/** Focal-plane shutters sync at 1/125 s to 1/500 s, typically 1/200 to 1/250 (makers' data sheets); slower than this none leaves a strip. */
const slowestSyncS = 1 / 125;

const rows = 240;
const columns = 96;
/** Luminance below which 8-bit codes are too coarse for a ratio: code 6 of 255 in sRGB. */
const floorLuminance = 0.002;
/** About a third of a stop is the smallest change of exposure a camera offers (common practice); fainter strips are not looked for. */
const faintestStops = 0.4;
/**
 * From here on a step is taken for a strip. On 364 street photographs without flash (parts of them cut to landscape, so that horizons
 * and kerbs lie along its direction) 3 reached it. Strips 8 % and 20 % wide with a border of 5 % drawn into 40 of them were found
 * 33 times in 40 at 2 stops, 24 at 1 stop, 9 at half a stop; on other photographs: tests/validation/flash-band-sweep.ts.
 */
const leastContinuity = 0.5;

/** @returns the strip, or one sentence why there is none. */
export function findFlashBand(picture: Rgb8, capture: Capture): FlashBand | string {
  if (capture.flashFired === false) return 'The camera wrote that no flash fired.';
  if (capture.exposureTimeS !== null && capture.exposureTimeS > slowestSyncS) {
    return 'The shutter was slow enough for any flash.';
  }
  if (Math.min(picture.width, picture.height) < columns) return 'The picture is too small to tell.';
  let best: FlashBand | null = null;
  for (const side of sidesAlongTravel(picture)) {
    const grid = brightness(picture, side);
    for (const [edge, from] of [
      [side, grid],
      [opposite[side], turned(grid)],
    ] as const) {
      const step = findWholeWidthStep(from, faintestStops);
      if (step !== null && step.continuity >= (best?.continuity ?? leastContinuity)) {
        best = {
          edge,
          reachShare: step.row / rows,
          depthStops: step.depthStops,
          continuity: step.continuity,
        };
      }
    }
  }
  return best ?? 'No strip along an edge is darker over its whole width.';
}

const opposite = { top: 'bottom', left: 'right' } as const;

/** A square picture does not tell which way the sensor lay. */
function sidesAlongTravel({ width, height }: Rgb8): readonly (keyof typeof opposite)[] {
  if (width > height) return ['top'];
  return width < height ? ['left'] : ['top', 'left'];
}

/** For each px along a side, where in the grid its row or column begins; `stride` is the distance between two of them. */
function cellStarts(length: number, cells: number, stride: number): Int32Array {
  const starts = new Int32Array(length);
  for (let i = 0; i < length; i++) starts[i] = Math.floor((i * cells) / length) * stride;
  return starts;
}

/** Row after row from one edge to the opposite one. */
function brightness(picture: Rgb8, edge: keyof typeof opposite): BrightnessGrid {
  const { width, height } = picture;
  const down = edge === 'top';
  // Where the shutter travels sideways the grid lies on its side: its rows are columns of the picture.
  const cellOfY = down ? cellStarts(height, rows, columns) : cellStarts(height, columns, 1);
  const cellOfX = down ? cellStarts(width, columns, 1) : cellStarts(width, rows, columns);
  const sums = luminanceByCell(picture, cellOfX, cellOfY, rows * columns);
  const [pxDown, pxAcross] = down ? [cellOfY, cellOfX].map(occupancy) : [cellOfX, cellOfY].map(occupancy);
  const stops = new Float64Array(rows * columns);
  for (let cell = 0; cell < stops.length; cell++) {
    const column = cell % columns;
    const px = pxDown![cell - column]! * pxAcross![column]!;
    stops[cell] = Math.log2(Math.max(floorLuminance, sums[cell]! / Math.max(1, px)));
  }
  return { rows, columns, stops };
}

/** How many rows or columns of the picture lie in each row or column of the grid. */
function occupancy(cellOf: Int32Array): Int32Array {
  const count = new Int32Array(rows * columns);
  for (const cell of cellOf) count[cell]!++;
  return count;
}

/** The same seen from the opposite edge. */
function turned({ stops }: BrightnessGrid): BrightnessGrid {
  const back = new Float64Array(stops.length);
  for (let row = 0; row < rows; row++) {
    back.set(stops.subarray(row * columns, (row + 1) * columns), (rows - 1 - row) * columns);
  }
  return { rows, columns, stops: back };
}
