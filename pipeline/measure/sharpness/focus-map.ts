import type { FocusMap } from '../../contracts/measurement/sharpness.ts';
import type { PlaneEdges } from './edge.ts';
import { climb } from './edge-pool.ts';
import type { Picture } from './picture.ts';
import { holds, type PxRect, regionOfRect } from './px-region.ts';
import { coarseEdges, strongestTiles } from './region-planes.ts';

/** Cells along the longer and the shorter side of the frame: about square at 3:2. */
const longSide = 12;
const shortSide = 8;
/** Edges that tell the blur of a cell. */
const fewestInCell = 4;
/** Grid tiles looked at in a cell, and fits in it on each reduced plane. */
const tilesInCell = 2;
const coarseFitsInCell = 8;

/** Blur of the sharpest edges in each cell of a grid over the whole frame. */
export function focusMap(picture: Picture): FocusMap {
  const upright = picture.height > picture.width;
  const columns = upright ? shortSide : longSide;
  const rows = upright ? longSide : shortSide;
  const sigmaPx: (number | null)[] = [];
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const rect = {
        left: Math.round((column * picture.width) / columns),
        top: Math.round((row * picture.height) / rows),
        right: Math.round(((column + 1) * picture.width) / columns),
        bottom: Math.round(((row + 1) * picture.height) / rows),
      };
      sigmaPx.push(climb(cellPlanes(picture, rect), fewestInCell)?.sigmaPx ?? null);
    }
  }
  return { columns, rows, sigmaPx };
}

function cellPlanes(picture: Picture, rect: PxRect): readonly PlaneEdges[] {
  const region = regionOfRect(rect);
  const tiles = strongestTiles(picture, region, tilesInCell);
  const pick = (plane: 'native' | 'half') => () =>
    tiles
      .flatMap(({ column, row }) => picture.gridTile(column, row)[plane])
      .filter((edge) => holds(region, edge.x, edge.y));
  return [
    { scale: 1, edges: pick('native') },
    { scale: 2, edges: pick('half') },
    ...coarseEdges(picture, region, coarseFitsInCell),
  ];
}
