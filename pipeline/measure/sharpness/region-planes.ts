import { once } from '../../numeric/once.ts';
import type { Edge, PlaneEdges } from './edge.ts';
import { pointsIn, surveyEdges } from './edge-survey.ts';
import { type FineEdges, SurveyedRect } from './fine-edges.ts';
import { type CoarsePlane, type GridTile, type Picture, tilesOfPoints } from './picture.ts';
import { areaPx, type PxRect, type PxRegion, type PxSet } from './px-region.ts';

/** Regions up to this area, native px, are searched all over and closely: eyes, a face, a test chart. */
const closeArea = 200_000;
const closeTileSide = 96;
/** Most fits in one tile of a close search. */
const closeFits = 32;
/** How much is looked at before a search stops. */
export interface Thoroughness {
  /** Edges wanted and tiles searched, where a region is larger than `closeArea`. */
  readonly edges: number;
  readonly tiles: number;
  /** Fits in all tiles of a region that is searched closely. */
  readonly fits: number;
}
export const thorough: Thoroughness = { edges: 120, tiles: 64, fits: 1000 };
/** Enough for a face: its edges are many and run in all directions. */
export const brisk: Thoroughness = { ...thorough, fits: 256 };
/**
 * For the background and people in it, by whose blur nothing is rejected: it scatters by a twentieth more, at a third to a half of the
 * cost.
 */
export const rough: Thoroughness = { edges: 60, tiles: 20, fits: 256 };
/** Fits on each reduced plane of the whole picture. */
const coarseFits = 96;

/** The edges of a region, plane by plane from fine to coarse; nothing is searched before it is asked for. */
export function regionPlanes(
  picture: Picture,
  region: PxRegion,
  search: Thoroughness,
): readonly PlaneEdges[] {
  const chosen = ({ tile, found }: CoarsePlane): Iterable<number> => pointsIn(region, tile, found.points);
  const fine = once(() => {
    if (areaPx(region.rect) <= closeArea) return searchClosely(picture, region, search.fits);
    const first = picture.coarse()[0];
    const tiles = first === undefined ? [] : tilesOfPoints(picture, chosen(first), search.tiles);
    return searchGrid(picture, tiles, region, search.edges);
  });
  return [
    { scale: 1, edges: () => fine().native() },
    { scale: 2, edges: () => fine().half() },
    ...picture.coarse().map((plane) => ({
      scale: plane.tile.scale,
      edges: once(() => surveyEdges(plane.tile, plane.found, [...chosen(plane)], coarseFits)),
    })),
  ];
}

/** All tiles of a small region. */
function searchClosely(picture: Picture, region: PxRegion, fitsInAll: number): FineEdges {
  const { left, top, right, bottom } = region.rect;
  const tiles: FineEdges[] = [];
  const count = Math.ceil((right - left) / closeTileSide) * Math.ceil((bottom - top) / closeTileSide);
  const fits = Math.min(closeFits, Math.ceil(fitsInAll / count));
  for (let y = top; y < bottom; y += closeTileSide) {
    for (let x = left; x < right; x += closeTileSide) {
      const rect: PxRect = {
        left: x,
        top: y,
        right: Math.min(right, x + closeTileSide),
        bottom: Math.min(bottom, y + closeTileSide),
      };
      tiles.push(new SurveyedRect(picture, region.within(rect), fits));
    }
  }
  return {
    native: once(() => tiles.flatMap((tile) => tile.native())),
    half: once(() => tiles.flatMap((tile) => tile.half())),
  };
}

/** Grid tiles one after the other until there are enough edges. */
export function searchGrid(
  picture: Picture,
  tiles: readonly GridTile[],
  place: PxSet,
  enough: number,
): FineEdges {
  const search = (plane: keyof FineEdges) => (): readonly Edge[] => {
    const edges: Edge[] = [];
    for (const { column, row } of tiles) {
      if (edges.length >= enough) break;
      for (const edge of picture.gridTile(column, row)[plane]()) {
        if (place.holds(edge.x, edge.y)) edges.push(edge);
      }
    }
    return edges;
  };
  return { native: once(search('native')), half: once(search('half')) };
}
