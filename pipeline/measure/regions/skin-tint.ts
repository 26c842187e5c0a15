/** The colour of the subject's skin as a Gaussian over tint, learnt from the face. */
import { insidePolygon } from '../../numeric/polygon.ts';
import { percentile } from '../../numeric/statistics.ts';
import type { BodyFrame } from './body-frame.ts';
import type { Patch } from './patch.ts';

export interface SkinTint {
  /** Lightness, log red/green, log blue/green: see {@link Patch}. */
  readonly mean: readonly [number, number, number];
  /** Variances and covariance of the two logarithms. */
  readonly covariance: readonly [number, number, number];
}

/** Fewer cells than this say too little about a face. */
const leastCells = 20;
/** Brows, lashes, nostrils and beard are darker than skin: the darkest third of the face is left out. */
const darkShare = 0.35;
/** Limbs lie in other light than the face: added variance of the two logarithms (about 8 % red, 11 % blue). */
const extraVariance = [0.006, 0.012] as const;
/** Standard deviation of lightness between face and limbs. */
const lightnessSigma = 0.2;
/** Skin whose face is not seen: mean and covariance of the faces on the labelled photographs with even numbers. */
const skinOfAnybody: SkinTint = { mean: [0.62, 0.56, -0.31], covariance: [0.068, -0.031, 0.064] };

export function learnSkin(patch: Patch, body: BodyFrame): SkinTint {
  const outline = body.faceOutline;
  if (outline === null) return skinOfAnybody;
  const xs = outline.map((point) => point[0]);
  const ys = outline.map((point) => point[1]);
  const { tint } = patch;
  const cells: number[] = [];
  const lightnesses: number[] = [];
  for (let y = Math.max(0, Math.floor(Math.min(...ys))); y < Math.min(patch.rows, Math.max(...ys)); y++) {
    for (
      let x = Math.max(0, Math.floor(Math.min(...xs)));
      x < Math.min(patch.columns, Math.max(...xs));
      x++
    ) {
      if (!insidePolygon(outline, x + 0.5, y + 0.5)) continue;
      const cell = y * patch.columns + x;
      cells.push(cell);
      lightnesses.push(tint[3 * cell]!);
    }
  }
  if (cells.length < leastCells) return skinOfAnybody;
  const dark = percentile(lightnesses, darkShare);
  return tintOfCells(
    tint,
    cells.filter((_, i) => lightnesses[i]! >= dark),
  );
}

/** Mean and spread of the tint of some cells. */
function tintOfCells(tint: Float32Array, cells: readonly number[]): SkinTint {
  const mean: [number, number, number] = [0, 0, 0];
  for (const cell of cells) for (let axis = 0; axis < 3; axis++) mean[axis]! += tint[3 * cell + axis]!;
  for (let axis = 0; axis < 3; axis++) mean[axis]! /= cells.length;
  let [reds, both, blues] = [0, 0, 0];
  for (const cell of cells) {
    const red = tint[3 * cell + 1]! - mean[1];
    const blue = tint[3 * cell + 2]! - mean[2];
    reds += red * red;
    both += red * blue;
    blues += blue * blue;
  }
  const count = cells.length;
  return {
    mean,
    covariance: [reds / count + extraVariance[0], both / count, blues / count + extraVariance[1]],
  };
}

/** Probability density of the tint of the given cells under the skin's colour; 0 in all other cells. */
export function skinDensities(
  { mean, covariance }: SkinTint,
  tint: Float32Array,
  cells: Uint32Array,
): Float32Array {
  const [a, b, c] = covariance;
  const determinant = a * c - b * b;
  const norm = 1 / ((2 * Math.PI) ** 1.5 * Math.sqrt(determinant) * lightnessSigma);
  const densities = new Float32Array(tint.length / 3);
  for (const cell of cells) {
    const light = (tint[3 * cell]! - mean[0]) / lightnessSigma;
    const red = tint[3 * cell + 1]! - mean[1];
    const blue = tint[3 * cell + 2]! - mean[2];
    const distance = (c * red * red - 2 * b * red * blue + a * blue * blue) / determinant + light * light;
    densities[cell] = norm * Math.exp(-distance / 2);
  }
  return densities;
}
