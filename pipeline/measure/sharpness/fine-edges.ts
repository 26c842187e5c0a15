import { profileReach } from '../../numeric/edge-sketch.ts';
import { halveTile, type LumaTile, TileRoom } from '../../numeric/luma.ts';
import type { Edge } from './edge.ts';
import { findPoints, pointsIn, surveyEdges } from './edge-survey.ts';
import type { Picture } from './picture.ts';
import type { PxRegion } from './px-region.ts';

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

// Only one rectangle is searched at a time: at native resolution, at half of it and, for the noise, at half the one searched.
const nativeRoom = new TileRoom();
const halfRoom = new TileRoom();
const noiseRoom = new TileRoom();

/** The edges of one small rectangle. */
export class SurveyedRect implements FineEdges {
  private readonly picture: Picture;
  private readonly region: PxRegion;
  private readonly limit: number;
  private nativeEdges: readonly Edge[] | undefined;
  private halfEdges: readonly Edge[] | undefined;

  /** @param limit most fits in native luma; half as many in the half-size one. */
  constructor(picture: Picture, region: PxRegion, limit: number) {
    this.picture = picture;
    this.region = region;
    this.limit = limit;
  }

  native(): readonly Edge[] {
    this.nativeEdges ??= this.search(this.cut(margin), this.limit);
    return this.nativeEdges;
  }

  half(): readonly Edge[] {
    this.halfEdges ??= this.search(halveTile(this.cut(2 * margin), halfRoom), Math.ceil(this.limit / 2));
    return this.halfEdges;
  }

  private cut(room: number): LumaTile {
    const { left, top, right, bottom } = this.region.rect;
    return this.picture.cut(left - room, top - room, right + room, bottom + room, nativeRoom);
  }

  private search(tile: LumaTile, fits: number): readonly Edge[] {
    const { left, top, right, bottom } = this.region.rect;
    const found = findPoints(tile, halveTile(tile, noiseRoom), {
      left: Math.floor((left - tile.x) / tile.scale),
      top: Math.floor((top - tile.y) / tile.scale),
      right: Math.ceil((right - tile.x) / tile.scale),
      bottom: Math.ceil((bottom - tile.y) / tile.scale),
    });
    return surveyEdges(tile, found, [...pointsIn(this.region, tile, found.points)], fits);
  }
}
