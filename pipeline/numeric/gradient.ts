import type { LumaPlane } from './luma.ts';

/**
 * Standard deviation of one gradient component for white noise of standard deviation 1: root of the product of the sums of squares of
 * the two kernels below, (10 / 64) * (70 / 256).
 */
export const gradientNoiseGain = Math.sqrt((10 / 64) * (70 / 256));

/** Edge points of a plane, sorted by falling gradient magnitude (ties: row by row). */
export interface EdgePoints {
  readonly count: number;
  /** Subpixel location, samples. */
  readonly x: Float32Array;
  readonly y: Float32Array;
  /** Unit vector along the gradient, from dark to bright. */
  readonly nx: Float32Array;
  readonly ny: Float32Array;
  /** Gradient magnitude, levels per sample. */
  readonly slope: Float32Array;
}

/**
 * Horizontal and vertical derivative: [-1 -2 0 2 1]/8 along the axis, binomial [1 4 6 4 1]/16 across it; two samples at each border stay 0.
 * The pair is the derivative of a Gaussian of standard deviation 1 but for its tails (Canny 1986 shows that operator near optimal for
 * finding steps in white noise). A ramp of 1 level per sample answers 1.
 */
export function gradient(plane: LumaPlane): { readonly gx: Float32Array; readonly gy: Float32Array } {
  const { width: w, height: h, data: d } = plane;
  const smooth = new Float32Array(w * h);
  const slope = new Float32Array(w * h);
  for (let y = 2; y < h - 2; y++) {
    for (let i = y * w; i < (y + 1) * w; i++) {
      const a = d[i - 2 * w]!;
      const b = d[i - w]!;
      const c = d[i + w]!;
      const e = d[i + 2 * w]!;
      smooth[i] = (a + e + 4 * (b + c) + 6 * d[i]!) * (1 / 16);
      slope[i] = (e - a + 2 * (c - b)) * (1 / 8);
    }
  }
  const gx = new Float32Array(w * h);
  const gy = new Float32Array(w * h);
  for (let y = 2; y < h - 2; y++) {
    for (let i = y * w + 2; i < (y + 1) * w - 2; i++) {
      gx[i] = (smooth[i + 2]! - smooth[i - 2]! + 2 * (smooth[i + 1]! - smooth[i - 1]!)) * (1 / 8);
      gy[i] =
        (slope[i - 2]! + slope[i + 2]! + 4 * (slope[i - 1]! + slope[i + 1]!) + 6 * slope[i]!) * (1 / 16);
    }
  }
  return { gx, gy };
}

/**
 * Points where the gradient magnitude is at least `threshold` and a maximum along the gradient direction (non-maximum suppression,
 * Canny 1986), located to a fraction of a sample by a parabola through the magnitude at the point and one sample to either side.
 */
export function edgePoints(plane: LumaPlane, threshold: number): EdgePoints {
  const { width: w, height: h } = plane;
  const { gx, gy } = gradient(plane);
  const magnitude = new Float32Array(w * h);
  for (let i = 0; i < magnitude.length; i++) magnitude[i] = Math.sqrt(gx[i]! * gx[i]! + gy[i]! * gy[i]!);
  const found: number[] = [];
  const offsets: number[] = [];
  for (let y = 3; y < h - 3; y++) {
    for (let i = y * w + 3; i < (y + 1) * w - 3; i++) {
      const m = magnitude[i]!;
      if (m < threshold) continue;
      const ux = gx[i]! / m;
      const uy = gy[i]! / m;
      const ahead = between(magnitude, i, w, ux, uy);
      if (ahead > m) continue;
      const behind = between(magnitude, i, w, -ux, -uy);
      // Strict on one side only: of two equal neighbours exactly one is kept.
      if (behind >= m) continue;
      found.push(i);
      offsets.push((0.5 * (ahead - behind)) / (2 * m - ahead - behind));
    }
  }
  const order = found.map((_, k) => k).sort((a, b) => magnitude[found[b]!]! - magnitude[found[a]!]! || a - b);
  const count = order.length;
  const points = {
    count,
    x: new Float32Array(count),
    y: new Float32Array(count),
    nx: new Float32Array(count),
    ny: new Float32Array(count),
    slope: new Float32Array(count),
  };
  for (let k = 0; k < count; k++) {
    const from = order[k]!;
    const i = found[from]!;
    const m = magnitude[i]!;
    const ux = gx[i]! / m;
    const uy = gy[i]! / m;
    points.x[k] = (i % w) + offsets[from]! * ux;
    points.y[k] = Math.floor(i / w) + offsets[from]! * uy;
    points.nx[k] = ux;
    points.ny[k] = uy;
    points.slope[k] = m;
  }
  return points;
}

/** Value one sample away from `i` along the unit vector (`ux`, `uy`), bilinear. */
function between(values: Float32Array, i: number, w: number, ux: number, uy: number): number {
  const fx = Math.floor(ux);
  const fy = Math.floor(uy);
  const at = i + fy * w + fx;
  const ax = ux - fx;
  const ay = uy - fy;
  const top = values[at]! + ax * (values[at + 1]! - values[at]!);
  const bottom = values[at + w]! + ax * (values[at + w + 1]! - values[at + w]!);
  return top + ay * (bottom - top);
}
