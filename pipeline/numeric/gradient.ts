import type { LumaPlane } from './luma.ts';

/**
 * Standard deviation of one gradient component for white noise of standard deviation 1: root of the product of the sums of squares of
 * the two kernels of `gradient`, (10 / 64) * (70 / 256).
 */
export const gradientNoiseGain = Math.sqrt((10 / 64) * (70 / 256));

interface Gradient {
  gx: Float32Array;
  gy: Float32Array;
  /** gx^2 + gy^2. */
  square: Float32Array;
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

/** Room for one plane at a time, grown as needed: some hundred tiles a frame would make as much to collect as the frame itself. */
const room: Gradient = { gx: new Float32Array(0), gy: new Float32Array(0), square: new Float32Array(0) };

function roomFor(samples: number): Gradient {
  if (room.gx.length < samples) {
    room.gx = new Float32Array(samples);
    room.gy = new Float32Array(samples);
    room.square = new Float32Array(samples);
  }
  return room;
}

function wholeOf(plane: LumaPlane): Window {
  return { left: 0, top: 0, right: plane.width, bottom: plane.height };
}

/** Samples at each border where the gradient is not known. */
const border = 2;

/**
 * Horizontal and vertical derivative: [-1 -2 0 2 1]/8 along the axis, binomial [1 4 6 4 1]/16 across it. A ramp of 1 level per sample
 * answers 1. The pair is the derivative of a Gaussian of standard deviation 1 but for its tails; Canny (IEEE PAMI 8, 1986) shows that
 * operator near optimal for finding steps in white noise.
 * @returns arrays that hold until the next call, and nothing of use outside the window.
 */
function gradient(plane: LumaPlane, window: Window): Gradient {
  const { width: w, height: h, data: d } = plane;
  const left = Math.max(border, window.left);
  const right = Math.min(w - border, window.right);
  const bottom = Math.min(h - border, window.bottom);
  const { gx, gy, square } = roomFor(w * h);
  const smooth = new Float32Array(w);
  const slope = new Float32Array(w);
  for (let y = Math.max(border, window.top); y < bottom; y++) {
    const row = y * w;
    for (let x = left - border; x < right + border; x++) {
      const i = row + x;
      const a = d[i - 2 * w]!;
      const b = d[i - w]!;
      const c = d[i + w]!;
      const e = d[i + 2 * w]!;
      smooth[x] = (a + e + 4 * (b + c) + 6 * d[i]!) * (1 / 16);
      slope[x] = (e - a + 2 * (c - b)) * (1 / 8);
    }
    for (let x = left; x < right; x++) {
      const dx = (smooth[x + 2]! - smooth[x - 2]! + 2 * (smooth[x + 1]! - smooth[x - 1]!)) * (1 / 8);
      const dy =
        (slope[x - 2]! + slope[x + 2]! + 4 * (slope[x - 1]! + slope[x + 1]!) + 6 * slope[x]!) * (1 / 16);
      gx[row + x] = dx;
      gy[row + x] = dy;
      square[row + x] = dx * dx + dy * dy;
    }
  }
  return { gx, gy, square };
}

/** tan(22.5 degrees): the normal is nearer to an axis than to a diagonal below this ratio of its components. */
const halfDiagonal = Math.SQRT2 - 1;

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
  // A point is compared with its neighbours: one sample more all round.
  const { gx, gy, square } = gradient(plane, {
    left: left - 1,
    top: top - 1,
    right: right + 1,
    bottom: bottom + 1,
  });
  const least = threshold * threshold;
  const found = new Int32Array(Math.max(0, right - left) * Math.max(0, bottom - top));
  let count = 0;
  for (let y = top; y < bottom; y++) {
    for (let i = y * w + left; i < y * w + right; i++) {
      const m = square[i]!;
      if (m < least) continue;
      const dx = gx[i]!;
      const dy = gy[i]!;
      const ax = dx < 0 ? -dx : dx;
      const ay = dy < 0 ? -dy : dy;
      let next: number;
      if (ay < halfDiagonal * ax) next = 1;
      else if (ax < halfDiagonal * ay) next = w;
      else next = dx > 0 === dy > 0 ? w + 1 : w - 1;
      // Strict on one side only: of two equal neighbours exactly one is kept.
      if (m >= square[i + next]! && m > square[i - next]!) found[count++] = i;
    }
  }
  return sorted(found.subarray(0, count), gx, gy, square);
}

/** Steps of the magnitude by which points are sorted, per level; points within a step keep their order row by row. */
const stepsPerLevel = 8;
const steps = 1024;

/** Counting sort: its time does not grow faster than the number of points. */
function sorted(found: Int32Array, gx: Float32Array, gy: Float32Array, square: Float32Array): EdgePoints {
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
