import type { FrameImage } from '../../contracts/frame-image.ts';
import { cutLuma, halveTile, type LumaTile, type TileRoom } from '../../numeric/luma.ts';
import { type FoundPoints, findPoints } from './edge-survey.ts';
import { type FineEdges, SurveyedRect } from './fine-edges.ts';
import { regionOfRect } from './px-region.ts';

/** A reduced plane of the whole picture and the edge points on it. */
export interface CoarsePlane {
  readonly tile: LumaTile;
  readonly found: FoundPoints;
}

/** One picture as the sharpness measurement sees it. Everything is made at the first call that asks for it, and kept. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  /** Native luma Y' of a rectangle, clipped to the picture; holds until the next is put into the room. */
  cut(left: number, top: number, right: number, bottom: number, room: TileRoom): LumaTile;
  /** Fine to coarse, the first reduced `leastCoarseScale` times or more. */
  coarse(): readonly CoarsePlane[];
  /** The strongest edges of one tile of the grid of `gridSide` px that covers the picture. */
  gridTile(column: number, row: number): FineEdges;
}

/** Side of a grid tile, native px: a few edges long, and still one focus distance. */
export const gridSide = 64;
/** Fits made in a grid tile: enough to tell its blur, few enough to look at many tiles. */
const fitsInGridTile = 8;
/** The half-size tiles hold a sigma of 5 native px; the coarse planes begin to below that at scales of 3 to 11. */
const leastCoarseScale = 3;
/** Largest coarse plane, samples: searching it all stays a small part of the cost. */
const largestCoarse = 400_000;
/** Three planes, each half the one before: sigmas up to 40 native px and more, beyond any blur that still has edges. */
const coarsePlanes = 3;
/** Smallest plane on which a profile has room, samples. */
const smallestPlane = 16;

const picturesOfFrames = new WeakMap<FrameImage, Picture>();

/** One a frame, whoever asks, so that what one region has searched serves the next. */
export function pictureOfFrame(image: FrameImage): Picture {
  const known = picturesOfFrames.get(image);
  if (known !== undefined) return known;
  const { analysis, srgb } = image;
  const made = picture(
    srgb.width,
    srgb.height,
    (left, top, right, bottom, room) => cutLuma(srgb, 3, left, top, right, bottom, room),
    () => {
      const scale = srgb.width / analysis.width;
      const { width, height, data } = cutLuma(analysis, 3, 0, 0, analysis.width, analysis.height);
      return { x: (scale - 1) / 2, y: (scale - 1) / 2, scale, width, height, data };
    },
  );
  picturesOfFrames.set(image, made);
  return made;
}

/** @param luma one value a px, 0..255, row after row. */
export function pictureOfLuma(luma: ArrayLike<number>, width: number, height: number): Picture {
  const pixels = { data: luma, width, height };
  return picture(
    width,
    height,
    (left, top, right, bottom, room) => cutLuma(pixels, 1, left, top, right, bottom, room),
    () => cutLuma(pixels, 1, 0, 0, width, height),
  );
}

export interface GridTile {
  readonly column: number;
  readonly row: number;
}

/** Grid tiles in which the given points of the first reduced plane lie, in the order of the points: the strongest edges first. */
export function tilesOfPoints(self: Picture, chosen: Iterable<number>, most: number): readonly GridTile[] {
  const plane = self.coarse()[0];
  if (plane === undefined) return [];
  const { tile, found } = plane;
  const columns = Math.ceil(self.width / gridSide);
  const rows = Math.ceil(self.height / gridSide);
  const seen = new Set<number>();
  for (const k of chosen) {
    const i = found.points.index[k]!;
    const y = Math.floor(i / tile.width);
    const column = Math.floor((tile.x + tile.scale * (i - y * tile.width)) / gridSide);
    const row = Math.floor((tile.y + tile.scale * y) / gridSide);
    seen.add(Math.min(rows - 1, row) * columns + Math.min(columns - 1, column));
    if (seen.size >= most) break;
  }
  return [...seen].map((key) => ({ column: key % columns, row: Math.floor(key / columns) }));
}

function picture(width: number, height: number, cut: Picture['cut'], whole: () => LumaTile): Picture {
  let coarse: readonly CoarsePlane[] | undefined;
  const tiles = new Map<number, FineEdges>();
  const columns = Math.ceil(width / gridSide);
  const self: Picture = {
    width,
    height,
    cut,
    coarse: () => {
      coarse ??= reduce(whole());
      return coarse;
    },
    gridTile: (column, row) => {
      const key = row * columns + column;
      let edges = tiles.get(key);
      if (edges === undefined) {
        const left = column * gridSide;
        const top = row * gridSide;
        const rect = {
          left,
          top,
          right: Math.min(width, left + gridSide),
          bottom: Math.min(height, top + gridSide),
        };
        edges = new SurveyedRect(self, regionOfRect(rect), fitsInGridTile);
        tiles.set(key, edges);
      }
      return edges;
    },
  };
  return self;
}

function reduce(tile: LumaTile): readonly CoarsePlane[] {
  let plane = tile;
  while (plane.scale < leastCoarseScale || plane.width * plane.height > largestCoarse)
    plane = halveTile(plane);
  const planes: CoarsePlane[] = [];
  while (planes.length < coarsePlanes && Math.min(plane.width, plane.height) >= smallestPlane) {
    const half = halveTile(plane);
    planes.push({ tile: plane, found: findPoints(plane, half) });
    plane = half;
  }
  return planes;
}
