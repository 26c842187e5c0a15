import { type EdgeFit, fitEdge } from '../../numeric/edge-fit.ts';
import { type EdgeSketch, sketchEdge } from '../../numeric/edge-sketch.ts';
import { type EdgePoints, edgePoints, gradientNoiseGain, type Window } from '../../numeric/gradient.ts';
import type { LumaPlane, LumaTile } from '../../numeric/luma.ts';
import { noiseSigma } from '../../numeric/noise.ts';
import type { Edge } from './edge.ts';
import type { PxSet } from './px-region.ts';

/** Gradient over its noise from which on a point is looked at: five standard deviations leave one false point in a million samples. */
const detection = 5;
/** Least rise of an edge, levels: well above the steps that JPEG leaves at quality 75 (8 x 8 blocks differ by 1 to 3 levels there). */
const leastRise = 12;
/** Rise over noise below which one patch tells sigma no better than to about a half (see `sigmaError`). */
const leastRiseOverNoise = 4;
/** Residual that the shape of the spread may leave, as a share of the rise; computed: 2.1 % for a straight motion, 1.4 % for a defocus disc. */
const shapeResidual = 0.05;
/**
 * Plateau wanted on both sides, in sigmas. Measured on 16 street photographs (even numbers) blurred by a Gaussian of 2 px, edge by edge
 * against the same edge unblurred: with a clearance of 2 to 2.5 half of them read more than 15 % too sharp (a neighbour cuts the plateau
 * short), with 2.5 to 3 a quarter, with 3 to 3.5 a tenth. A sine wave turns at 1.97 of the sigma fitted to its flank.
 */
const leastClearance = 3.25;
/** What the profile can show of that where sigma is large: its reach less one sample. */
const profileClearance = 11;
/** Clearance of the first, coarser reading from which on a fit is worth its time: of those that become an edge, 2 in 100 lie below. */
const sketchClearance = 2.7;
/** Widest sigma taken from one plane, samples: three of it fill the profile. */
const widestSigma = 4;
/** Narrowest sigma taken from a reduced plane, samples: below it the reduction is most of the spread. */
const narrowestReducedSigma = 0.45;
/** Relative uncertainty beyond which an edge tells nothing. */
const largestRelativeError = 0.4;
/** Share of truncated samples beyond which the edge is cut off by clipping. */
const largestTruncatedShare = 0.25;
/** Levels next to the ends of the 8-bit scale that count as not well exposed. */
const endLevels = 4;
/**
 * Real uncertainty over that for white noise: JPEG and noise reduction leave neighbouring samples alike. Measured as scatter over stated
 * uncertainty on slanted edges: 1.0 without JPEG, 1.2 to 2.2 at qualities 85 and 75. Too small a value lets JPEG read sharper.
 */
const alikeness = 1.8;

/** Distances between edges taken, samples, one round after the other: first spread out over the tile, then closer. */
const spacings = [9, 5, 2];
/** Points looked at for each fit allowed, so that ripple cannot make the search long. */
const looksPerFit = 8;

/** Edge points of a plane with the noise they were found above. */
export interface FoundPoints {
  readonly points: EdgePoints;
  readonly noise: number;
}

/** @param half the plane at half the resolution; `window` where to look, default everywhere. */
export function findPoints(tile: LumaTile, half: LumaPlane, window?: Window): FoundPoints {
  // JPEG and noise reduction take noise off the finest scale alone: the half-size plane tells what is left of it at the scale of edges.
  const noise = Math.max(noiseSigma(tile), 2 * noiseSigma(half));
  // Slope of the least rise at the widest sigma.
  const leastSlope = leastRise / (Math.sqrt(2 * Math.PI) * widestSigma);
  const threshold = Math.max(leastSlope, detection * gradientNoiseGain * noise);
  return { points: edgePoints(tile, threshold, window), noise };
}

/** Numbers of the points in `place`, the strongest first; looked for no further than they are asked for. */
export function* pointsIn(place: PxSet, tile: LumaTile, points: EdgePoints): Generator<number> {
  for (let k = 0; k < points.count; k++) {
    const i = points.index[k]!;
    const row = Math.floor(i / tile.width);
    if (place.holds(tile.x + tile.scale * (i - row * tile.width), tile.y + tile.scale * row)) yield k;
  }
}

/** A point worth a fit, whole samples, and what its profile shows. */
interface Candidate {
  readonly k: number;
  readonly x: number;
  readonly y: number;
  readonly sketch: EdgeSketch;
}

function isNear(taken: readonly Candidate[], x: number, y: number, spacing: number): boolean {
  for (const near of taken) {
    if (Math.abs(near.x - x) < spacing && Math.abs(near.y - y) < spacing) return true;
  }
  return false;
}

/** Points that look like isolated edges, the first ones first and spread out, at most `limit`. */
function* candidates(
  tile: LumaTile,
  { points, noise }: FoundPoints,
  chosen: readonly number[],
  limit: number,
): Generator<Candidate> {
  const taken: Candidate[] = [];
  const used = new Uint8Array(chosen.length);
  let looks = 0;
  for (const spacing of spacings) {
    for (let c = 0; c < chosen.length; c++) {
      if (taken.length >= limit || looks >= looksPerFit * limit) return;
      if (used[c] === 1) continue;
      const k = chosen[c]!;
      const i = points.index[k]!;
      const y = Math.floor(i / tile.width);
      const x = i - y * tile.width;
      if (isNear(taken, x, y, spacing)) continue;
      used[c] = 1;
      looks++;
      const sketch = sketchEdge(tile, x, y, points.nx[k]!, points.ny[k]!, noise);
      if (sketch === null || sketch.rise < leastRise) continue;
      if (Math.min(sketch.below, sketch.above) < sketchClearance * sketch.freedSigma) continue;
      const candidate = { k, x, y, sketch };
      taken.push(candidate);
      yield candidate;
    }
  }
}

/** Fits the edges at the given points, the first ones first and spread out, with at most `limit` fits. */
export function surveyEdges(
  tile: LumaTile,
  found: FoundPoints,
  chosen: readonly number[],
  limit: number,
): readonly Edge[] {
  const { points, noise } = found;
  const edges: Edge[] = [];
  for (const { k, x, y, sketch } of candidates(tile, found, chosen, limit)) {
    const nx = points.nx[k]!;
    const ny = points.ny[k]!;
    const fit = fitEdge(tile, x, y, nx, ny, noise, sketch);
    const edge = fit === null ? null : asEdge(tile, x + fit.offset * nx, y + fit.offset * ny, fit, noise);
    if (edge !== null) edges.push(edge);
  }
  return edges;
}

/** Sigmas of the same points as their profiles show them, unfitted, samples. */
export function sketchedSigmas(
  tile: LumaTile,
  found: FoundPoints,
  chosen: readonly number[],
  limit: number,
): readonly number[] {
  const sigmas: number[] = [];
  for (const { sketch } of candidates(tile, found, chosen, limit)) sigmas.push(sketch.sigma);
  return sigmas;
}

/** The fit in native px; `null` where it is no isolated, blurred step of sufficient contrast. */
function asEdge(tile: LumaTile, x: number, y: number, fit: EdgeFit, noise: number): Edge | null {
  if (fit.rise < leastRise || fit.rise < leastRiseOverNoise * noise) return null;
  if (fit.residual > Math.hypot(2 * noise, shapeResidual * fit.rise)) return null;
  if (fit.clearance < Math.min(leastClearance, profileClearance / fit.sigma)) return null;
  if (fit.sigma > widestSigma || (tile.scale > 1 && fit.sigma < narrowestReducedSigma)) return null;
  if (fit.sigmaError > largestRelativeError * fit.sigma) return null;
  if (fit.truncated > largestTruncatedShare) return null;
  // The mean over scale x scale px has itself spread the edge by a box of that many unit samples: variance (scale^2 - 1) / 12.
  const square = (tile.scale * fit.sigma) ** 2 - (tile.scale ** 2 - 1) / 12;
  if (square <= 0) return null;
  const sigmaPx = Math.sqrt(square);
  return {
    x: tile.x + tile.scale * x,
    y: tile.y + tile.scale * y,
    sigmaPx,
    sigmaErrorPx: (alikeness * tile.scale ** 2 * fit.sigma * fit.sigmaError) / sigmaPx,
    shape: fit.shape,
    shapeError: alikeness * fit.shapeError,
    // Rows run downwards, angles anticlockwise.
    normalDeg: ((Math.atan2(-fit.ny, fit.nx) * 180) / Math.PI + 360) % 180,
    wellExposed: fit.dark > endLevels && fit.dark + fit.rise < 255 - endLevels,
  };
}
