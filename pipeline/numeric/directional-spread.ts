import { choleskyFactor, choleskySolve } from './cholesky.ts';
import { mean } from './statistics.ts';

/** Covariance of a spread function in the plane of the picture, as its principal axes. */
export interface DirectionalSpread {
  /** Standard deviations along the widest direction and across it, same unit as the input. */
  readonly along: number;
  readonly across: number;
  /** The widest direction, degrees, same zero and sense as the input, 0 <= deg < 180. */
  readonly deg: number;
  /** Natural logarithm of along / across and its standard uncertainty, from the scatter of the values round the fit. */
  readonly logRatio: number;
  readonly logRatioError: number;
  /** Weighted root mean square of the logarithmic residuals. */
  readonly scatter: number;
}

const radians = (deg: number): number => (deg * Math.PI) / 180;

const size = 3;
const maxSteps = 15;
/** Starting directions, degrees: the sum of squares has one minimum in 180 degrees or two. */
const starts = [0, 45, 90, 135];
/** Residuals beyond this (natural logarithm) count less and less (Cauchy weight): edges that something else has softened. */
const tolerance = 0.25;
/** Weight of a value above the fit over that of one below: expectile regression (Newey and Powell, Econometrica 55, 1987), so that the fit
 * follows the sharpest values of every direction. */
const above = 1 / 3;

/**
 * Fits sigma^2(normal) = along^2 cos^2(normal - deg) + across^2 sin^2(normal - deg) to spreads measured across edges of many directions:
 * the variance of a spread function seen across an edge is its covariance projected on the normal.
 *
 * @param logSigmas natural logarithms; `errors` their uncertainties; `normalsDeg` directions of the edge normals.
 * @returns `null` where the values do not determine it.
 */
export function directionalSpread(
  logSigmas: readonly number[],
  errors: readonly number[],
  normalsDeg: readonly number[],
): DirectionalSpread | null {
  let best: Fit | null = null;
  const normals = normalsDeg.map(radians);
  const middle = logSigmas.length === 0 ? 0 : mean(logSigmas);
  for (const start of starts) {
    const p = Float64Array.of(2 * middle + 0.7, 2 * middle - 0.7, radians(start));
    const fit = refine(p, logSigmas, errors, normals);
    if (fit !== null && (best === null || fit.cost < best.cost)) best = fit;
  }
  if (best === null || !choleskyFactor(best.curvature, size, 1e-12, factor)) return null;
  const step = new Float64Array(size);
  const contrast = Float64Array.of(0.5, -0.5, 0);
  choleskySolve(factor, size, contrast, step);
  const variance = (0.5 * step[0]! - 0.5 * step[1]!) * Math.max(1, best.cost / best.weight);
  const [wide, narrow, angle] = best.p as unknown as [number, number, number];
  const turned = wide >= narrow ? angle : angle + Math.PI / 2;
  return {
    along: Math.exp(0.5 * Math.max(wide, narrow)),
    across: Math.exp(0.5 * Math.min(wide, narrow)),
    deg: ((((turned * 180) / Math.PI) % 180) + 180) % 180,
    logRatio: 0.5 * Math.abs(wide - narrow),
    logRatioError: Math.sqrt(variance),
    scatter: best.scatter,
  };
}

interface Fit {
  readonly p: Float64Array;
  readonly cost: number;
  /** Sum of the robust weights. */
  readonly weight: number;
  readonly scatter: number;
  readonly curvature: Float64Array;
  readonly descent: Float64Array;
}

const factor = new Float64Array(size * size);

/** Levenberg-Marquardt with reweighting. Parameters: logarithms of the two variances, direction in radians. */
function refine(
  start: Float64Array,
  logs: readonly number[],
  errors: readonly number[],
  normals: readonly number[],
): Fit | null {
  let p = start;
  let now = evaluate(p, logs, errors, normals);
  let damping = 1e-2;
  const step = new Float64Array(size);
  for (let k = 0; k < maxSteps; k++) {
    if (!choleskyFactor(now.curvature, size, damping, factor)) return null;
    choleskySolve(factor, size, now.descent, step);
    // A step of at most 1 in a logarithm or a radian keeps the exponentials in range.
    const next = new Float64Array(size);
    for (let j = 0; j < size; j++) next[j] = p[j]! + Math.max(-1, Math.min(1, step[j]!));
    const trial = evaluate(next, logs, errors, normals);
    if (trial.cost < now.cost) {
      const settled = now.cost - trial.cost < 1e-4 * now.cost;
      p = next;
      now = trial;
      damping *= 0.2;
      if (settled) break;
    } else {
      damping *= 8;
      if (damping > 1e4) break;
    }
  }
  return { p, ...now };
}

function evaluate(
  p: Float64Array,
  logs: readonly number[],
  errors: readonly number[],
  normals: readonly number[],
): Omit<Fit, 'p'> {
  const wide = Math.exp(p[0]!);
  const narrow = Math.exp(p[1]!);
  const curvature = new Float64Array(size * size);
  const descent = new Float64Array(size);
  let cost = 0;
  let weight = 0;
  let squares = 0;
  let plain = 0;
  for (let i = 0; i < logs.length; i++) {
    const c = Math.cos(normals[i]! - p[2]!);
    const s = Math.sin(normals[i]! - p[2]!);
    const variance = wide * c * c + narrow * s * s;
    const r = logs[i]! - 0.5 * Math.log(variance);
    const side = r > 0 ? above : 1;
    const robust = 1 / (1 + (r / tolerance) ** 2);
    const w = (side * robust) / errors[i]! ** 2;
    // Cauchy's cost, whose derivative is the weighted residual.
    cost += ((side * tolerance ** 2) / errors[i]! ** 2) * Math.log1p((r / tolerance) ** 2);
    weight += side * robust;
    squares += robust * r * r;
    plain += robust;
    const j0 = (0.5 * wide * c * c) / variance;
    const j1 = (0.5 * narrow * s * s) / variance;
    const j2 = ((wide - narrow) * c * s) / variance;
    descent[0]! += w * r * j0;
    descent[1]! += w * r * j1;
    descent[2]! += w * r * j2;
    curvature[0]! += w * j0 * j0;
    curvature[3]! += w * j1 * j0;
    curvature[4]! += w * j1 * j1;
    curvature[6]! += w * j2 * j0;
    curvature[7]! += w * j2 * j1;
    curvature[8]! += w * j2 * j2 + 1e-9;
  }
  return { cost, weight, scatter: Math.sqrt(squares / Math.max(plain, 1e-12)), curvature, descent };
}
