import { profileReach } from '../../numeric/edge-sketch.ts';
import { halveTile, type LumaTile } from '../../numeric/luma.ts';
import { once } from '../../numeric/once.ts';
import type { Edge } from './edge.ts';
import { findPoints, pointsWhere, surveyEdges } from './edge-survey.ts';
import type { Picture } from './picture.ts';
import { holds, type PxRegion } from './px-region.ts';

/** Edges fitted in native luma and in luma of half the resolution; each at the first call. */
export interface FineEdges {
  native(): readonly Edge[];
  half(): readonly Edge[];
}

/**
 * Samples taken round a tile, so that the profiles of edges near its border have their whole reach: with less, wide edges would be
 * left out and the rest read too sharp.
 */
const margin = profileReach + 2;

/**
 * Surveys one small rectangle.
 * @param limit most fits in native luma; half as many in the half-size one.
 */
export function surveyFine(picture: Picture, region: PxRegion, limit: number): FineEdges {
  const { left, top, right, bottom } = region.rect;
  const cut = (px: number): LumaTile => picture.cut(left - px, top - px, right + px, bottom + px);
  const search = (tile: LumaTile, half: LumaTile, fits: number): readonly Edge[] => {
    const found = findPoints(tile, half, {
      left: Math.floor((left - tile.x) / tile.scale),
      top: Math.floor((top - tile.y) / tile.scale),
      right: Math.ceil((right - tile.x) / tile.scale),
      bottom: Math.ceil((bottom - tile.y) / tile.scale),
    });
    const chosen = pointsWhere(tile, found.points, (x, y) => holds(region, x, y));
    return surveyEdges(tile, found, [...chosen], fits);
  };
  return {
    native: once(() => {
      const tile = cut(margin);
      return search(tile, halveTile(tile), limit);
    }),
    half: once(() => {
      const tile = halveTile(cut(2 * margin));
      return search(tile, halveTile(tile), Math.ceil(limit / 2));
    }),
  };
}
