import { noisyQuantile } from '../../numeric/noisy-quantile.ts';
import { fittedOverTrueSigma } from '../../numeric/spread-shape.ts';
import type { Edge, PlaneEdges } from './edge.ts';

/**
 * The blur of a region is that of its sharpest edges: the lower quartile. Measured on photographs blurred by known Gaussians of 1.5 to
 * 3 px: a quarter recovers the kernel's variance to 5 % (median), a tenth picks the edges that read too sharp.
 */
export const sharpestShare = 0.25;
/** Fewer edges than this say nothing about a region. */
export const fewestEdges = 6;
/** Sigma, in samples of a plane, beyond which the next coarser plane tells it better: wider edges are cut off by the profile's reach. */
const comfortableSigma = 2.5;
/** Most edges pooled; enough for 1 % where they scatter by 15 %. */
const mostEdges = 240;
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
  /** Of the plane it was read from. */
  readonly scale: number;
}

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

/** Shape common to the edges, less one standard uncertainty: a correction is made only where there is evidence for it. */
export function pooledShape(edges: readonly Edge[]): number {
  let weight = 0;
  let sum = 0;
  for (const edge of edges) {
    // Neighbours and shading move the shape of a real edge by some thousandths whatever the noise.
    const w = 1 / (edge.shapeError ** 2 + 0.005 ** 2);
    weight += w;
    sum += w * edge.shape;
  }
  return Math.max(0, sum / weight - 1 / Math.sqrt(weight));
}

/** Blur of the sharpest of the given edges. */
export function poolEdges(edges: readonly Edge[], scale: number): Pooled {
  const used = usable(edges);
  const logs = used.map((edge) => Math.log(edge.sigmaPx));
  const fitted = Math.exp(noisyQuantile(logs, used.map(relativeError), sharpestShare));
  const sharpest = used.filter((edge) => edge.sigmaPx <= fitted * Math.exp(2 * relativeError(edge)));
  const shape = pooledShape(sharpest);
  return { sigmaPx: fitted / fittedOverTrueSigma(shape), shape, edges: used, scale };
}

/**
 * Reads the blur from the finest plane that holds it: begins with the native picture and climbs to a reduced one while the edges are too
 * few or too wide for the plane.
 * @returns `null` where no plane has enough edges that `keep` accepts.
 */
export function climb(
  planes: readonly PlaneEdges[],
  fewest: number,
  keep: (edge: Edge) => boolean = () => true,
): Pooled | null {
  let best: Pooled | null = null;
  for (const [i, plane] of planes.entries()) {
    const edges = plane.edges().filter(keep);
    if (edges.length < fewest) continue;
    // A handful of edges here and a crowd on a coarser plane: the handful is dust, lettering or a coding artefact.
    if (edges.length < handful) {
      const coarser = planes.slice(i + 1, i + 3).map((next) => next.edges().filter(keep).length);
      if (Math.max(0, ...coarser) > crowd * edges.length) continue;
    }
    best = poolEdges(edges, plane.scale);
    if (best.sigmaPx <= comfortableSigma * plane.scale) break;
  }
  return best;
}
