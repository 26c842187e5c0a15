import { noisyQuantile } from '../../numeric/noisy-quantile.ts';
import { fittedOverTrueSigma } from '../../numeric/spread-shape.ts';
import { percentile } from '../../numeric/statistics.ts';
import type { Edge, PlaneEdges } from './edge.ts';

/**
 * The blur of a region is that of its sharpest edges: the quantile below which 15 % of them lie. Chosen on street photographs with even
 * numbers blurred by Gaussians of 1.5 to 3 px and discs of 3 to 6 px: a quarter lets soft folds and backgrounds in, a tenth picks the
 * edges that read too sharp.
 */
export const sharpestShare = 0.15;
/** Fewer edges than this say nothing about a region. */
export const fewestEdges = 6;
/** Sigma, in samples of a plane, beyond which the next coarser plane tells it better: wider edges are cut off by the profile's reach. */
const comfortableSigma = 2.5;
/** Most edges pooled; enough for 1.4 % where they scatter by 15 %. */
const mostEdges = 120;
/** Relative uncertainty that every edge has from its shape and its neighbours, however little noise there is. */
const modelError = 0.04;

/** Edges that are a handful, and how many times as many on one of the next two planes are a crowd. */
const handful = 20;
const crowd = 5;

export interface Pooled {
  /** Standard deviation of the spread, native px. */
  readonly sigmaPx: number;
  readonly shape: number;
  readonly edges: readonly Edge[];
}

export const logSigma = (edge: Edge): number => Math.log(edge.sigmaPx);

/** Relative uncertainty of an edge's sigma, natural logarithm. */
export function relativeError(edge: Edge): number {
  return Math.hypot(modelError, edge.sigmaErrorPx / edge.sigmaPx);
}

/** Well-exposed edges where there are enough of them, otherwise all; thinned evenly to `mostEdges`. */
function usable(edges: readonly Edge[]): readonly Edge[] {
  const exposed = edges.filter((edge) => edge.wellExposed);
  const best = exposed.length >= fewestEdges ? exposed : edges;
  const stride = best.length / mostEdges;
  return stride <= 1 ? best : Array.from({ length: mostEdges }, (_, i) => best[Math.floor(i * stride)]!);
}

/** A shape coefficient and its standard uncertainty, as if the edges were independent of each other. */
export interface CommonShape {
  readonly value: number;
  readonly error: number;
}

export function commonShape(edges: readonly Edge[]): CommonShape {
  let weight = 0;
  let sum = 0;
  for (const edge of edges) {
    // Neighbours and shading move the shape of a real edge by some thousandths whatever the noise.
    const w = 1 / (edge.shapeError ** 2 + 0.005 ** 2);
    weight += w;
    sum += w * edge.shape;
  }
  return { value: sum / weight, error: 1 / Math.sqrt(weight) };
}

/**
 * Standard uncertainties a shape must exceed before sigma is corrected by it. More than two, because edges next to each other share
 * samples and the ringing of JPEG: on Gaussian slanted edges of 20 % contrast at quality 85 one uncertainty read 9 % too sharp, two and
 * a half 6 %, and no defocus disc of the same charts was missed.
 */
export const shapeCertainty = 2.5;

/** Fitted sigma, px, from which on the shape is the lens's; below the lower one pixels, sharpening and JPEG make it. */
const lensSigmaPx = [1, 1.3] as const;
/**
 * Shapes of even blur and of a disc as photographs show them: shading and neighbours take a third off the 0.018 of a lone edge. Chosen on
 * street photographs with even numbers: behind Gaussians of 1.5 to 3 px up to 0.003, behind discs of 3 to 6 px from 0.007 on.
 */
const seenShapes = [0.003, 0.007] as const;
/** What a fit to a disc's edge reads on the same photographs over its standard deviation is 1.15, and this the shape that stands for it. */
const discShape = 0.0231;

const ramp = (value: number, [low, high]: readonly [number, number]): number =>
  Math.min(1, Math.max(0, (value - low) / (high - low)));

/** The shape by which the fitted sigma is corrected. */
function correctingShape({ value, error }: CommonShape, fittedPx: number): number {
  const certain = Math.max(0, value - shapeCertainty * error);
  // What is left of a value by its signal-to-noise ratio (positive-part James-Stein).
  const likely = value > error ? value * (1 - (error / value) ** 2) : 0;
  const lens = ramp(fittedPx, lensSigmaPx);
  return lens * discShape * ramp(likely, seenShapes) + (1 - lens) * certain;
}

/** Blur of the sharpest of the given edges. */
export function poolEdges(edges: readonly Edge[]): Pooled {
  const used = usable(edges);
  const logs = used.map(logSigma);
  const fitted = Math.exp(noisyQuantile(logs, used.map(relativeError), sharpestShare));
  const sharpest: Edge[] = [];
  for (const edge of used) {
    if (edge.sigmaPx <= fitted * Math.exp(2 * relativeError(edge))) sharpest.push(edge);
  }
  const shape = correctingShape(commonShape(sharpest), fitted);
  return { sigmaPx: fitted / fittedOverTrueSigma(shape), shape, edges: used };
}

/** Edges of the plane that suits them best. */
export interface SuitedEdges {
  readonly edges: readonly Edge[];
  /** Whether the plane holds them: else a coarser one may show more of them, and the widest. */
  readonly held: boolean;
}

const sigmaOf = (edge: Edge): number => edge.sigmaPx;

/** Quantile `sharpestShare` of the fitted sigmas as they are, native px: quick, and low by up to the edges' own uncertainty. */
export function sharpestOf(edges: readonly Edge[]): number {
  return percentile(edges.map(sigmaOf), sharpestShare);
}

/** Directions of edge normals, degrees: from the first to before the second. */
export type Sector = readonly [number, number];

const allRound: Sector = [0, 180];

function inSector(edges: readonly Edge[], [from, to]: Sector): readonly Edge[] {
  const inside: Edge[] = [];
  for (const edge of edges) if (edge.normalDeg >= from && edge.normalDeg < to) inside.push(edge);
  return inside;
}

/**
 * Takes the edges from the finest plane that holds them: begins with the native picture and climbs to a reduced one while the edges are
 * too few or too wide for the plane.
 * @returns `null` where no plane has enough edges in the sector.
 */
export function climb(
  planes: readonly PlaneEdges[],
  fewest: number,
  sector: Sector = allRound,
): SuitedEdges | null {
  let best: SuitedEdges | null = null;
  for (const { scale, edges } of planes) {
    const kept = inSector(edges(), sector);
    if (kept.length < fewest) continue;
    best = { edges: kept, held: sharpestOf(kept) <= comfortableSigma * scale };
    if (best.held) break;
  }
  return best;
}

/** The planes without those that have a mere handful of edges where one of the next two has a crowd: dust, lettering, a coding artefact. */
export function withoutHandfuls(planes: readonly PlaneEdges[]): readonly PlaneEdges[] {
  const first = planes.findIndex((plane, i) => {
    const count = plane.edges().length;
    if (count >= handful) return true;
    const coarser = planes.slice(i + 1, i + 3).map((next) => next.edges().length);
    return count > 0 && Math.max(0, ...coarser) <= crowd * count;
  });
  return first < 0 ? planes : planes.slice(first);
}
