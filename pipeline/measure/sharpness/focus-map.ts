import type { FocusMap } from '../../contracts/measurement/sharpness.ts';
import { once } from '../../numeric/once.ts';
import { percentile } from '../../numeric/statistics.ts';
import type { PlaneEdges } from './edge.ts';
import { climb, sharpestOf, sharpestShare } from './edge-pool.ts';
import { sketchedSigmas, surveyEdges } from './edge-survey.ts';
import { type CoarsePlane, type Picture, tilesOfPoints } from './picture.ts';
import type { PxSet } from './px-region.ts';
import { searchGrid } from './region-planes.ts';

/** Cells along the longer and the shorter side of the frame: about square at 3:2. */
const longSide = 12;
const shortSide = 8;
/** Edges that tell the blur of a cell. */
const fewestInCell = 4;
/** Grid tiles looked at in a cell, and fits in it on each reduced plane. */
const tilesInCell = 2;
const coarseFitsInCell = 8;

/** Sketched sigma, samples of the first reduced plane, above which that plane holds the blur and finer ones cannot be sharp: a step reads 0.6 there. */
const blurredSigma = 0.75;
/** Reduced planes looked at: the second holds sigmas of 20 px and more. */
const reducedPlanes = 2;

/** The cells of a grid over the picture, `width` x `height` native px. */
interface Cells {
  readonly columns: number;
  readonly rows: number;
  readonly width: number;
  readonly height: number;
}

/** Number of the cell that holds a native px. */
function cellAt({ columns, rows, width, height }: Cells, x: number, y: number): number {
  return cellAlong(y, height, rows) * columns + cellAlong(x, width, columns);
}

class Cell implements PxSet {
  private readonly cells: Cells;
  private readonly number: number;

  constructor(cells: Cells, number: number) {
    this.cells = cells;
    this.number = number;
  }

  holds(x: number, y: number): boolean {
    return cellAt(this.cells, x, y) === this.number;
  }
}

/** Blur of the sharpest edges in each cell of a grid over the whole frame. */
export function focusMap(picture: Picture): FocusMap {
  const upright = picture.height > picture.width;
  const columns = upright ? shortSide : longSide;
  const rows = upright ? longSide : shortSide;
  const cells: Cells = { columns, rows, width: picture.width, height: picture.height };
  const points = picture.coarse().map((plane) => pointsOfCells(plane, cells));
  const sigmaPx = Array.from({ length: columns * rows }, (_, cell) => {
    const planes = cellPlanes(picture, cells, cell, points);
    // Where the reduced picture is out of focus, the native one need not be searched.
    const suited = climb(
      isBlurred(picture, points[0]?.[cell] ?? []) ? planes.slice(1) : planes,
      fewestInCell,
    );
    return suited === null ? null : sharpestOf(suited.edges);
  });
  return { columns, rows, sigmaPx };
}

/** Whether the strongest edges of a cell are wide even on the first reduced plane; read from their profiles, without a fit. */
function isBlurred(picture: Picture, chosen: readonly number[]): boolean {
  const plane = picture.coarse()[0];
  if (plane === undefined) return false;
  const sigmas = sketchedSigmas(plane.tile, plane.found, chosen, coarseFitsInCell);
  return sigmas.length >= fewestInCell && percentile(sigmas, sharpestShare) > blurredSigma;
}

function cellAlong(px: number, side: number, cells: number): number {
  return Math.min(cells - 1, Math.max(0, Math.floor(((px + 0.5) * cells) / side)));
}

/** Edge points of a reduced plane, cell by cell, the strongest first. */
function pointsOfCells({ tile, found }: CoarsePlane, cells: Cells): readonly (readonly number[])[] {
  const lists = Array.from({ length: cells.columns * cells.rows }, (): number[] => []);
  for (let k = 0; k < found.points.count; k++) {
    const i = found.points.index[k]!;
    const y = Math.floor(i / tile.width);
    lists[cellAt(cells, tile.x + tile.scale * (i - y * tile.width), tile.y + tile.scale * y)]!.push(k);
  }
  return lists;
}

function cellPlanes(
  picture: Picture,
  cells: Cells,
  cell: number,
  points: readonly (readonly (readonly number[])[])[],
): readonly PlaneEdges[] {
  const tiles = tilesOfPoints(picture, points[0]?.[cell] ?? [], tilesInCell);
  const fine = once(() => searchGrid(picture, tiles, new Cell(cells, cell), fewestInCell));
  return [
    { scale: 1, edges: () => fine().native() },
    ...picture
      .coarse()
      .slice(0, reducedPlanes)
      .map(({ tile, found }, i) => ({
        scale: tile.scale,
        edges: once(() => surveyEdges(tile, found, points[i]![cell]!, coarseFitsInCell)),
      })),
  ];
}
