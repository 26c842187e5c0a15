import type { LumaPlane } from './luma.ts';

/** What the mean profile across an edge point shows before anything is fitted. Lengths in samples, levels in luma. */
export interface EdgeSketch {
  readonly dark: number;
  readonly rise: number;
  /** From rise and steepest slope, as for a normal integral. */
  readonly sigma: number;
  /** The same without what reading the profile adds. */
  readonly freedSigma: number;
  /** How far the profile goes on without turning back, on the dark and on the bright side. */
  readonly below: number;
  readonly above: number;
}

/** Longest reach of a profile to either side of the edge, samples: three sigmas of the widest spread fitted on one plane. */
export const profileReach = 12;
/** Half-length along the edge over which the profile is averaged. */
const halfLength = 4;
/** Turns smaller than this share of the rise so far are ripple (JPEG, rounding), not another structure. */
const ripple = 0.04;
/** Variance that reading a profile adds, samples^2: interpolation between two samples (1/6) and the difference over two (1/3). */
const readingVariance = 0.5;
/** Least sigma told: a sharper edge lies within one sample. */
const leastSigma = 0.5;
/** Standard deviation of rounding to whole levels. */
export const roundingSigma = Math.sqrt(1 / 12);

/** Samples of the profile to either side of the edge that tell its slope; kept, the others are read as they are needed. */
const core = 2;
const profile = new Float64Array(2 * core + 1);

/**
 * Reads the mean profile across an edge point.
 * @param x, y subpixel location; `nx`, `ny` unit normal from dark to bright; `noise` standard deviation of the plane's noise.
 * @returns `null` where the plane ends within two samples or nothing rises.
 */
export function sketchEdge(
  plane: LumaPlane,
  x: number,
  y: number,
  nx: number,
  ny: number,
  noise: number,
): EdgeSketch | null {
  // Read outwards and no further than the profile rises: most edges of a picture have a neighbour close by.
  for (let k = -core; k <= core; k++) profile[k + core] = meanAlong(plane, x, y, nx, ny, k);
  let steepest = 0;
  for (let k = -1; k <= 1; k++) {
    const slope = 0.5 * (profile[k + 1 + core]! - profile[k - 1 + core]!);
    // The plane ends too close by.
    if (Number.isNaN(slope)) return null;
    steepest = Math.max(steepest, slope);
  }
  if (!(steepest > 0)) return null;
  const wobble = (3 * Math.max(noise, roundingSigma)) / Math.sqrt(2 * halfLength + 1);
  const bright = follow(plane, x, y, nx, ny, 1, wobble);
  const dark = follow(plane, x, y, nx, ny, -1, wobble);
  const rise = bright.rise + dark.rise;
  if (!(rise > 0)) return null;
  const sigma = Math.max(leastSigma, rise / (Math.sqrt(2 * Math.PI) * steepest));
  const freedSigma = Math.sqrt(Math.max(leastSigma ** 2, sigma ** 2 - readingVariance));
  const centre = profile[core]!;
  return { dark: centre - dark.rise, rise, sigma, freedSigma, below: dark.reach, above: bright.reach };
}

/** Walks from the edge to one side until the profile turns back; how far that is, and how much it rose (to the dark side: fell). */
function follow(
  plane: LumaPlane,
  x: number,
  y: number,
  nx: number,
  ny: number,
  side: 1 | -1,
  wobble: number,
): { readonly reach: number; readonly rise: number } {
  const centre = profile[core]!;
  let reach = 0;
  let rise = 0;
  for (let k = 1; k <= profileReach; k++) {
    const level = k <= core ? profile[core + side * k]! : meanAlong(plane, x, y, nx, ny, side * k);
    const now = side * (level - centre);
    if (!(rise - now <= Math.max(wobble, ripple * rise))) break;
    rise = Math.max(rise, now);
    reach = k;
  }
  return { reach, rise };
}

/** Mean of the plane along the edge at distance `n` from it, bilinear; NaN where the plane ends. */
function meanAlong(plane: LumaPlane, x: number, y: number, nx: number, ny: number, n: number): number {
  const { width: w, height: h, data } = plane;
  let sum = 0;
  for (let t = -halfLength; t <= halfLength; t++) {
    const px = x + n * nx - t * ny;
    const py = y + n * ny + t * nx;
    const ix = Math.floor(px);
    const iy = Math.floor(py);
    if (ix < 0 || iy < 0 || ix + 1 >= w || iy + 1 >= h) return Number.NaN;
    const i = iy * w + ix;
    const ax = px - ix;
    const upper = data[i]! + ax * (data[i + 1]! - data[i]!);
    const lower = data[i + w]! + ax * (data[i + w + 1]! - data[i + w]!);
    sum += upper + (py - iy) * (lower - upper);
  }
  return sum / (2 * halfLength + 1);
}
