import { alignment, floatsAt, integersAt, kernels, Room } from '../kernels/kernels.ts';
import type { LumaPlane } from './luma.ts';

/**
 * Standard deviation of one gradient component for white noise of standard deviation 1: root of the product of the sums of squares of
 * the two kernels of `gradient`, (10 / 64) * (70 / 256).
 */
export const gradientNoiseGain = Math.sqrt((10 / 64) * (70 / 256));

/** Derivatives of a plane and the sum of their squares, one value a sample; nothing of use where none was asked for. */
interface Gradient {
  readonly gx: Float32Array;
  readonly gy: Float32Array;
  readonly square: Float32Array;
}

/** Edge points of a plane, sorted by falling gradient magnitude. */
export interface EdgePoints {
  readonly count: number;
  /** Location, whole samples: `y * width + x`. */
  readonly index: Int32Array;
  /** Unit vector along the gradient, from dark to bright. */
  readonly nx: Float32Array;
  readonly ny: Float32Array;
}

/** Part of a plane, samples; `right` and `bottom` are the first outside. */
export interface Window {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

function wholeOf(plane: LumaPlane): Window {
  return { left: 0, top: 0, right: plane.width, bottom: plane.height };
}

/** Samples at each border where the gradient is not known. */
const border = 2;

/** What the search of one plane needs of the kernels' memory: addresses. */
interface SearchRoom {
  readonly plane: number;
  readonly gx: number;
  readonly gy: number;
  readonly square: number;
  /** Two rows of intermediate results, so many bytes each. */
  readonly rows: number;
  readonly rowBytes: number;
  readonly found: number;
}

function roomFor({ width, height, data }: LumaPlane, points: number): SearchRoom {
  const room = new Room();
  const rowBytes = 4 * width + 2 * alignment;
  const planeBytes = 4 * width * height + alignment;
  return {
    plane: room.put(data),
    gx: room.take(planeBytes),
    gy: room.take(planeBytes),
    square: room.take(planeBytes),
    rows: room.take(2 * rowBytes + alignment),
    rowBytes,
    found: room.take(4 * points),
  };
}

/**
 * Horizontal and vertical derivative: [-1 -2 0 2 1]/8 along the axis, binomial [1 4 6 4 1]/16 across it. A ramp of 1 level per sample
 * answers 1. The pair is the derivative of a Gaussian of standard deviation 1 but for its tails; Canny (IEEE PAMI 8, 1986) shows that
 * operator near optimal for finding steps in white noise.
 */
function takeGradient({ width, height }: LumaPlane, window: Window, room: SearchRoom): void {
  const left = Math.max(border, window.left);
  const count = Math.min(width - border, window.right) - left;
  const bottom = Math.min(height - border, window.bottom);
  if (count <= 0) return;
  for (let y = Math.max(border, window.top); y < bottom; y++) {
    const row = 4 * (y * width + left);
    kernels.gradientRow(
      room.plane + row,
      4 * width,
      count,
      room.rows,
      room.rowBytes,
      room.gx + row,
      room.gy + row,
      room.square + row,
    );
  }
}

/**
 * Points of the window where the gradient magnitude is at least `threshold` (levels per sample) and a maximum among the neighbours along the gradient,
 * of eight (non-maximum suppression: Canny 1986).
 */
export function edgePoints(plane: LumaPlane, threshold: number, window: Window = wholeOf(plane)): EdgePoints {
  const { width: w, height: h } = plane;
  const left = Math.max(border + 1, window.left);
  const top = Math.max(border + 1, window.top);
  const right = Math.min(w - border - 1, window.right);
  const bottom = Math.min(h - border - 1, window.bottom);
  const columns = Math.max(0, right - left);
  const room = roomFor(plane, columns * Math.max(0, bottom - top));
  // A point is compared with its neighbours: one sample more all round.
  takeGradient(plane, { left: left - 1, top: top - 1, right: right + 1, bottom: bottom + 1 }, room);
  let count = 0;
  for (let y = top; y < bottom; y++) {
    const index = y * w + left;
    const row = 4 * index;
    const found = room.found + 4 * count;
    const [gx, gy, square] = [room.gx + row, room.gy + row, room.square + row];
    count += kernels.maximaOfRow(gx, gy, square, w, index, columns, threshold * threshold, found);
  }
  const samples = w * h;
  return sorted(integersAt(room.found, count), {
    gx: floatsAt(room.gx, samples),
    gy: floatsAt(room.gy, samples),
    square: floatsAt(room.square, samples),
  });
}

/** Steps of the magnitude by which points are sorted, per level; points within a step keep their order row by row. */
const stepsPerLevel = 8;
const steps = 1024;

/** Counting sort: its time does not grow faster than the number of points. */
function sorted(found: Int32Array, { gx, gy, square }: Gradient): EdgePoints {
  const count = found.length;
  const step = new Uint16Array(count);
  const starts = new Int32Array(steps + 1);
  for (let k = 0; k < count; k++) {
    const s = steps - 1 - Math.min(steps - 1, Math.floor(stepsPerLevel * Math.sqrt(square[found[k]!]!)));
    step[k] = s;
    starts[s + 1]!++;
  }
  for (let s = 0; s < steps; s++) starts[s + 1]! += starts[s]!;
  const index = new Int32Array(count);
  for (let k = 0; k < count; k++) index[starts[step[k]!]!++] = found[k]!;
  const nx = new Float32Array(count);
  const ny = new Float32Array(count);
  for (let k = 0; k < count; k++) {
    const i = index[k]!;
    const inverse = 1 / Math.sqrt(square[i]!);
    nx[k] = gx[i]! * inverse;
    ny[k] = gy[i]! * inverse;
  }
  return { count, index, nx, ny };
}
