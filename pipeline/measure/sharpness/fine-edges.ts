import { halveTile } from '../../numeric/luma.ts';
import type { Edge } from './edge.ts';
import { findPoints, surveyEdges } from './edge-survey.ts';
import type { Picture } from './picture.ts';
import { holds, type PxRegion } from './px-region.ts';

/** Edges fitted in native luma and in luma of half the resolution. */
export interface FineEdges {
  readonly native: readonly Edge[];
  readonly half: readonly Edge[];
}

/** Luma taken round a tile, native px, so that the profiles of edges near its border have room. */
const margin = 16;

/**
 * Surveys one small rectangle.
 * @param limit most fits in native luma; half as many in the half-size one.
 */
export function surveyFine(picture: Picture, region: PxRegion, limit: number): FineEdges {
  const { left, top, right, bottom } = region.rect;
  const tile = picture.cut(left - margin, top - margin, right + margin, bottom + margin);
  const wanted = (x: number, y: number): boolean => holds(region, x, y);
  const half = halveTile(tile);
  return {
    native: surveyEdges(tile, findPoints(tile), wanted, limit),
    half: surveyEdges(half, findPoints(half), wanted, Math.ceil(limit / 2)),
  };
}
