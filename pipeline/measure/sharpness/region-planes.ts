import type { Edge, PlaneEdges } from './edge.ts';
import { surveyEdges } from './edge-survey.ts';
import { type FineEdges, surveyFine } from './fine-edges.ts';
import { gridSide, type Picture } from './picture.ts';
import { areaPx, holds, type PxRect, type PxRegion } from './px-region.ts';

/** Regions up to this area, native px, are searched all over and closely: eyes, a face, a test chart. */
const closeArea = 200_000;
const closeTileSide = 96;
/** Fits in one tile of a close search. */
const closeFits = 40;
/** Edges after which a search stops, tiles it looks at, and fits on each reduced plane of the whole picture. */
const edgesWanted = 160;
const mostTiles = 72;
const coarseFits = 96;

/** The edges of a region, plane by plane from fine to coarse; nothing is searched before it is asked for. */
export function regionPlanes(picture: Picture, region: PxRegion): readonly PlaneEdges[] {
  const fine = once(() =>
    areaPx(region.rect) <= closeArea ? searchClosely(picture, region) : searchGrid(picture, region),
  );
  return [
    { scale: 1, edges: () => fine().native },
    { scale: 2, edges: () => fine().half },
    ...coarseEdges(picture, region, coarseFits),
  ];
}

/** The edges of a region on the reduced planes of the whole picture. */
export function coarseEdges(picture: Picture, region: PxRegion, limit: number): readonly PlaneEdges[] {
  return picture.coarse().map(({ tile, found }) => ({
    scale: tile.scale,
    edges: once(() => surveyEdges(tile, found, (x, y) => holds(region, x, y), limit)),
  }));
}

/** All tiles of a small region. */
function searchClosely(picture: Picture, region: PxRegion): FineEdges {
  const { left, top, right, bottom } = region.rect;
  const native: Edge[] = [];
  const half: Edge[] = [];
  for (let y = top; y < bottom; y += closeTileSide) {
    for (let x = left; x < right; x += closeTileSide) {
      const rect: PxRect = {
        left: x,
        top: y,
        right: Math.min(right, x + closeTileSide),
        bottom: Math.min(bottom, y + closeTileSide),
      };
      const edges = surveyFine(picture, { rect, contains: region.contains }, closeFits);
      native.push(...edges.native);
      half.push(...edges.half);
    }
  }
  return { native, half };
}

/** The tiles of a large region, those with the strongest edges first, until there are enough. */
function searchGrid(picture: Picture, region: PxRegion): FineEdges {
  const native: Edge[] = [];
  const half: Edge[] = [];
  for (const { column, row } of strongestTiles(picture, region, mostTiles)) {
    const edges = picture.gridTile(column, row);
    native.push(...edges.native.filter((edge) => holds(region, edge.x, edge.y)));
    half.push(...edges.half.filter((edge) => holds(region, edge.x, edge.y)));
    if (native.length >= edgesWanted) break;
  }
  return { native, half };
}

/** Grid tiles of a region in the order of the steepest edge point that the first reduced plane shows in them. */
export function strongestTiles(
  picture: Picture,
  region: PxRegion,
  most: number,
): readonly { readonly column: number; readonly row: number }[] {
  const plane = picture.coarse()[0];
  if (plane === undefined) return [];
  const { tile, found } = plane;
  const columns = Math.ceil(picture.width / gridSide);
  const seen = new Set<number>();
  for (let k = 0; k < found.points.count && seen.size < most; k++) {
    const x = tile.x + tile.scale * found.points.x[k]!;
    const y = tile.y + tile.scale * found.points.y[k]!;
    if (!holds(region, x, y)) continue;
    seen.add(Math.floor((y + 0.5) / gridSide) * columns + Math.floor((x + 0.5) / gridSide));
  }
  return [...seen].map((key) => ({ column: key % columns, row: Math.floor(key / columns) }));
}

function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | undefined;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}
