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
const hopelessNoise = 2.6;
const hopelessShare = 0.065;
/** Steps of the two passes: the first only has to come near. */
const maxSteps = [2, 6] as const;
/** Clearance that the first pass must show: of those below it, one in a hundred would have come to the three sigmas and more that are asked. */
const hopelessClearance = 2.6;
/** A step this small, as a share of sigma and of the sum of squares, is the last: the next would be several times smaller, and edges scatter by 4 % and more. */
const smallStep = 0.01;

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
  const p = Float64Array.of(sketch.dark, sketch.rise, 0, 0, 0, Math.min(sigmaCeiling, sketch.freedSigma));
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
    if (clearanceOf(p, sketch) < hopelessClearance) return null;
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
    clearance: clearanceOf(p, sketch),
    truncated: shape.truncated,
  };
}

function clearanceOf(p: Float64Array, { below, above }: EdgeSketch): number {
  return Math.min(below + p[2]!, above - p[2]!) / p[5]!;
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

/**
 * Fills `curvature` with J^T J (lower triangle) and `descent` with J^T r; returns the sum of squared residuals. The sums are held in
 * variables of their own: this loop runs over a million samples a frame, and sums in arrays make it a third slower.
 */
function accumulate(p: Float64Array, count: number): number {
  const { n, t: along, v } = at;
  const dark = p[0]!;
  const rise = p[1]!;
  const c0 = p[2]!;
  const c1 = p[3]!;
  const c2 = p[4]!;
  const inverse = 1 / p[5]!;
  const slope = -rise * inverse;
  // Named after what is summed: r residual, c normal integral, j its derivative by the centre, t along the edge, u across it in sigmas.
  let rr = 0;
  let r1 = 0;
  let rc = 0;
  let c1s = 0;
  let cc = 0;
  let rj = 0;
  let rjt = 0;
  let rjtt = 0;
  let rju = 0;
  let j = 0;
  let jt = 0;
  let jtt = 0;
  let ju = 0;
  let jc = 0;
  let jct = 0;
  let jctt = 0;
  let jcu = 0;
  let jj = 0;
  let jjt = 0;
  let jjtt = 0;
  let jjttt = 0;
  let jjtttt = 0;
  let jju = 0;
  let jjut = 0;
  let jjutt = 0;
  let jjuu = 0;
  for (let i = 0; i < count; i++) {
    const t = along[i]!;
    const u = (n[i]! - c0 - (c1 + c2 * t) * t) * inverse;
    const c = normalCdf(u);
    const r = v[i]! - dark - rise * c;
    rr += r * r;
    r1 += r;
    rc += r * c;
    c1s += c;
    cc += c * c;
    if (u <= -5 || u >= 5) continue;
    const a = slope * normalDensity(u);
    const at1 = a * t;
    const at2 = at1 * t;
    const au = a * u;
    rj += r * a;
    rjt += r * at1;
    rjtt += r * at2;
    rju += r * au;
    j += a;
    jt += at1;
    jtt += at2;
    ju += au;
    jc += a * c;
    jct += at1 * c;
    jctt += at2 * c;
    jcu += au * c;
    jj += a * a;
    jjt += a * at1;
    jjtt += at1 * at1;
    jjttt += at1 * at2;
    jjtttt += at2 * at2;
    jju += a * au;
    jjut += at1 * au;
    jjutt += at2 * au;
    jjuu += au * au;
  }
  descent[0] = r1;
  descent[1] = rc;
  descent[2] = rj;
  descent[3] = rjt;
  descent[4] = rjtt;
  descent[5] = rju;
  curvature[0] = count;
  curvature[6] = c1s;
  curvature[7] = cc;
  curvature[12] = j;
  curvature[13] = jc;
  curvature[14] = jj;
  curvature[18] = jt;
  curvature[19] = jct;
  curvature[20] = jjt;
  curvature[21] = jjtt;
  curvature[24] = jtt;
  curvature[25] = jctt;
  curvature[26] = jjtt;
  curvature[27] = jjttt;
  curvature[28] = jjtttt;
  curvature[30] = ju;
  curvature[31] = jcu;
  curvature[32] = jju;
  curvature[33] = jjut;
  curvature[34] = jjutt;
  curvature[35] = jjuu;
  return rr;
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
      const settled = Math.abs(p[5]! - before[5]!) < smallStep * p[5]! && sum - trial < smallStep * sum;
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
