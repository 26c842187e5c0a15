import { choleskyFactor, choleskySolve } from './cholesky.ts';
import { type EdgeSketch, profileReach, roundingSigma } from './edge-sketch.ts';
import type { LumaPlane } from './luma.ts';
import { normalCdf, normalDensity } from './normal-distribution.ts';

/** A blurred step found at one place. Lengths in samples of the plane. */
export interface EdgeFit {
  /** Standard deviation of the Gaussian whose integral the edge spread follows, and its standard uncertainty for white noise. */
  readonly sigma: number;
  readonly sigmaError: number;
  /** Level of the dark side and rise to the bright one. */
  readonly dark: number;
  readonly rise: number;
  /** Root mean square of the residuals, levels. */
  readonly residual: number;
  /**
   * How the spread departs from a normal integral: projection of the residual over the rise on He3(u) phi(u), the kurtosis term of the
   * Edgeworth series. 0 for a Gaussian, about 0.018 for a defocus disc, 0.025 for a straight motion, below 0 for a sharpened edge.
   */
  readonly shape: number;
  readonly shapeError: number;
  /** Unit normal of the fitted edge, from dark to bright. */
  readonly nx: number;
  readonly ny: number;
  /** From the point given to the edge, along the normal given. */
  readonly offset: number;
  /** How far the profile runs on without turning back, in sigmas, on its shorter side. */
  readonly clearance: number;
  /** Share of the samples within 1.5 sigma of the edge that sit at the floor or the ceiling of the scale. */
  readonly truncated: number;
}

/** Half-length of the patch along the edge, samples: short enough for a curved outline, or twice that where noise needs averaging. */
const shortHalfLength = 4;
const longHalfLength = 8;
/** Noise as a share of the rise from which on the long patch is used: there the short one tells sigma no better than to about 10 %. */
const noisyShare = 0.04;
/** Plateau wanted on either side, in sigmas: a normal integral is within 0.2 % of its end there. */
const plateauSigmas = 3;
/** Limits of sigma, samples. Below the lower one a sampled step no longer changes; the upper one is out of the patch's reach. */
const sigmaFloor = 0.2;
const sigmaCeiling = 6;
/** The centre may move this far from the point found, and the normal turn by this tangent; further means another edge took over. */
const largestShift = 2.5;
const largestTurn = 0.6;
/** Residual, in noise and as a share of the rise, beyond which there is no step: texture, not worth a second pass. */
const hopelessNoise = 3;
const hopelessShare = 0.1;
/** Steps of the two passes: the first only has to come near. */
const maxSteps = [3, 6] as const;

// Parameters of the model, in this order: dark, rise, c0, c1, c2, sigma.
const size = 6;
const capacity = (2 * profileReach + 3) * (2 * longHalfLength + 3);

/** Room for one fit at a time; every fit fills it anew, so nothing is carried from one to the next. */
const at = { n: new Float64Array(capacity), t: new Float64Array(capacity), v: new Float64Array(capacity) };
const curvature = new Float64Array(size * size);
const factor = new Float64Array(size * size);
const descent = new Float64Array(size);
const step = new Float64Array(size);
/** Of the last step that was kept. */
const before = new Float64Array(size);
const curvatureBefore = new Float64Array(size * size);
const descentBefore = new Float64Array(size);

/**
 * Fits a step blurred by a Gaussian to the samples round an edge point: level(n, t) = dark + rise * Phi((n - c0 - c1 t - c2 t^2) / sigma)
 * with n along the normal and t along the edge, by Levenberg-Marquardt on the samples themselves. Nothing is interpolated, so nothing is
 * blurred by the fit; the slant of the edge against the grid gives the sub-sample phases (the principle of ISO 12233 e-SFR), the linear
 * and quadratic terms follow its direction and curvature.
 *
 * @param x, y subpixel location; `nx`, `ny` unit normal from dark to bright; `noise` standard deviation of the plane's noise;
 *   `sketch` what `sketchEdge` read there.
 * @returns `null` where the fit ran away or has too few samples.
 */
export function fitEdge(
  plane: LumaPlane,
  x: number,
  y: number,
  nx: number,
  ny: number,
  noise: number,
  sketch: EdgeSketch,
): EdgeFit | null {
  const p = Float64Array.of(sketch.dark, sketch.rise, 0, 0, 0, Math.min(sigmaCeiling, sketch.sigma));
  const half = noise > noisyShare * sketch.rise ? longHalfLength : shortHalfLength;
  let count = 0;
  let squares = 0;
  // Twice: the first fit's sigma and centre set the window of the second.
  for (const steps of maxSteps) {
    const want = plateauSigmas * p[5]! + 1;
    const low = Math.max(-profileReach, p[2]! - want, -sketch.below - 0.5);
    const high = Math.min(profileReach, p[2]! + want, sketch.above + 0.5);
    count = gather(plane, x, y, nx, ny, low, high, half);
    if (count < 4 * size) return null;
    squares = refine(p, count, steps);
    if (!(squares >= 0 && p[1]! > 0)) return null;
    if (Math.abs(p[2]!) > largestShift || Math.abs(p[3]!) > largestTurn) return null;
    if (squares > count * ((hopelessNoise * noise) ** 2 + (hopelessShare * p[1]!) ** 2)) return null;
  }
  if (!choleskyFactor(curvature, size, 1e-9, factor)) return null;
  choleskySolve(factor, size, Float64Array.of(0, 0, 0, 0, 0, 1), step);
  const residual = Math.sqrt(squares / (count - size));
  const level = Math.max(residual, noise, roundingSigma);
  const shape = spreadShape(p, count);
  // The samples lie along the first guess of the normal: the length along the fitted one is shorter by the cosine between the two.
  const cosine = 1 / Math.sqrt(1 + p[3]! * p[3]!);
  return {
    sigma: p[5]! * cosine,
    sigmaError: Math.sqrt(step[5]!) * cosine * level,
    dark: p[0]!,
    rise: p[1]!,
    residual,
    shape: shape.value / p[1]!,
    shapeError: (shape.errorPerLevel * level) / p[1]!,
    nx: (nx + p[3]! * ny) * cosine,
    ny: (ny - p[3]! * nx) * cosine,
    offset: p[2]!,
    clearance: Math.min(sketch.below + p[2]!, sketch.above - p[2]!) / p[5]!,
    truncated: shape.truncated,
  };
}

/** Collects the samples of the oriented patch; returns how many. */
function gather(
  plane: LumaPlane,
  x: number,
  y: number,
  nx: number,
  ny: number,
  low: number,
  high: number,
  half: number,
): number {
  const { width: w, height: h, data } = plane;
  const reach = Math.max(-low, high);
  const spanX = Math.abs(nx) * reach + Math.abs(ny) * half;
  const spanY = Math.abs(ny) * reach + Math.abs(nx) * half;
  const right = Math.min(w - 1, Math.floor(x + spanX));
  const bottom = Math.min(h - 1, Math.floor(y + spanY));
  const left = Math.max(0, Math.ceil(x - spanX));
  let count = 0;
  for (let py = Math.max(0, Math.ceil(y - spanY)); py <= bottom; py++) {
    const dy = py - y;
    for (let px = left; px <= right; px++) {
      const dx = px - x;
      const t = dy * nx - dx * ny;
      if (t < -half || t > half) continue;
      const n = dx * nx + dy * ny;
      if (n < low || n > high) continue;
      if (count === capacity) return count;
      at.n[count] = n;
      at.t[count] = t;
      at.v[count] = data[py * w + px]!;
      count++;
    }
  }
  return count;
}

/** Fills `curvature` with J^T J (lower triangle) and `descent` with J^T r; returns the sum of squared residuals. */
function accumulate(p: Float64Array, count: number): number {
  const dark = p[0]!;
  const rise = p[1]!;
  const c0 = p[2]!;
  const c1 = p[3]!;
  const c2 = p[4]!;
  const inverse = 1 / p[5]!;
  curvature.fill(0);
  descent.fill(0);
  const m = curvature;
  const d = descent;
  let sum = 0;
  for (let i = 0; i < count; i++) {
    const t = at.t[i]!;
    const u = (at.n[i]! - c0 - (c1 + c2 * t) * t) * inverse;
    const cdf = normalCdf(u);
    const r = at.v[i]! - dark - rise * cdf;
    sum += r * r;
    d[0]! += r;
    d[1]! += r * cdf;
    m[0]! += 1;
    m[6]! += cdf;
    m[7]! += cdf * cdf;
    if (u <= -5 || u >= 5) continue;
    const j2 = -rise * normalDensity(u) * inverse;
    const j3 = j2 * t;
    const j4 = j3 * t;
    const j5 = j2 * u;
    d[2]! += r * j2;
    d[3]! += r * j3;
    d[4]! += r * j4;
    d[5]! += r * j5;
    m[12]! += j2;
    m[13]! += j2 * cdf;
    m[14]! += j2 * j2;
    m[18]! += j3;
    m[19]! += j3 * cdf;
    m[20]! += j3 * j2;
    m[21]! += j3 * j3;
    m[24]! += j4;
    m[25]! += j4 * cdf;
    m[26]! += j4 * j2;
    m[27]! += j4 * j3;
    m[28]! += j4 * j4;
    m[30]! += j5;
    m[31]! += j5 * cdf;
    m[32]! += j5 * j2;
    m[33]! += j5 * j3;
    m[34]! += j5 * j4;
    m[35]! += j5 * j5;
  }
  return sum;
}

/**
 * Levenberg-Marquardt from `p`, in place; `curvature` and `descent` are those of the result. Returns the sum of squared residuals, NaN
 * where the samples do not tell the parameters apart.
 */
function refine(p: Float64Array, count: number, steps: number): number {
  let damping = 1e-3;
  let sum = accumulate(p, count);
  for (let k = 0; k < steps; k++) {
    if (!choleskyFactor(curvature, size, damping, factor)) return Number.NaN;
    choleskySolve(factor, size, descent, step);
    before.set(p);
    curvatureBefore.set(curvature);
    descentBefore.set(descent);
    for (let j = 0; j < size; j++) p[j]! += step[j]!;
    p[5] = Math.min(2 * before[5]!, sigmaCeiling, Math.max(0.5 * before[5]!, sigmaFloor, p[5]!));
    const trial = accumulate(p, count);
    if (trial < sum) {
      const settled = Math.abs(p[5]! - before[5]!) < 2e-3 * p[5]! && sum - trial < 1e-3 * sum;
      damping = Math.max(1e-6, damping * 0.2);
      sum = trial;
      if (settled) break;
    } else {
      p.set(before);
      curvature.set(curvatureBefore);
      descent.set(descentBefore);
      damping *= 8;
      if (damping > 1e3) break;
    }
  }
  return sum;
}

/** The shape coefficient in levels, its standard uncertainty for residuals of 1 level, and the share of samples at the scale's ends. */
function spreadShape(
  p: Float64Array,
  count: number,
): { readonly value: number; readonly errorPerLevel: number; readonly truncated: number } {
  let cross = 0;
  let square = 0;
  let near = 0;
  let ends = 0;
  for (let i = 0; i < count; i++) {
    const t = at.t[i]!;
    const v = at.v[i]!;
    const u = (at.n[i]! - p[2]! - (p[3]! + p[4]! * t) * t) / p[5]!;
    const term = u > -5 && u < 5 ? (u * u - 3) * u * normalDensity(u) : 0;
    cross += (v - p[0]! - p[1]! * normalCdf(u)) * term;
    square += term * term;
    if (u < -1.5 || u > 1.5) continue;
    near++;
    // Half a level inside the ends of the 8-bit scale.
    if (v >= 254.5 || v <= 0.5) ends++;
  }
  return {
    value: square > 0 ? cross / square : 0,
    errorPerLevel: square > 0 ? 1 / Math.sqrt(square) : 0,
    truncated: near > 0 ? ends / near : 0,
  };
}
