import type { PxRectangle } from '../../numeric/resample.ts';

/**
 * A tile smaller than this is enlarged more than 2.5 times by the network's 416 px input: nothing is left to see. It also keeps
 * the count of tiles of a very long picture within reason.
 */
const smallestTilePx = 160;
/** Least overlap of neighbouring tiles: somebody up to a fifth of the short edge wide is whole in one of them. */
const tileOverlap = 0.2;

function starts(length: number, tile: number): readonly number[] {
  if (tile >= length) return [0];
  // The small allowance keeps rounding from adding a tile to an exact fit.
  const count = Math.ceil((length - tile) / (tile * (1 - tileOverlap)) - 1e-6) + 1;
  return Array.from({ length: count }, (_, index) => Math.round(((length - tile) * index) / (count - 1)));
}

export const wholePicture = (width: number, height: number): PxRectangle => ({ x: 0, y: 0, width, height });

/**
 * Overlapping tiles as wide as the picture's short edge, in px: there a person is 1.5 times as large to the network as in the
 * whole 2:3 picture. None where the picture is (nearly) square, since the one tile would be the picture again.
 */
export function planTiles(width: number, height: number): readonly PxRectangle[] {
  const side = Math.max(smallestTilePx, Math.min(width, height));
  const tile = { width: Math.min(side, width), height: Math.min(side, height) };
  const columns = starts(width, tile.width);
  const rows = starts(height, tile.height);
  if (columns.length * rows.length === 1) return [];
  return rows.flatMap((y) => columns.map((x) => ({ x, y, ...tile })));
}
