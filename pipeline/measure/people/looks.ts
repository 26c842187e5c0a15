import type { Rgb8 } from '../../contracts/frame-image.ts';
import { type BoxTuple, boxInPx } from '../../numeric/boxes.ts';
import type { PxRectangle } from '../../numeric/resample.ts';
import type { ScoredBox } from '../../numeric/suppression.ts';
import { type Detection, detectObjects } from '../networks/nanodet.ts';
import { planTiles } from './passes.ts';

/** Nothing below this score is ever looked at; average precision needs the long tail, the choice of people does not. */
const lowestScore = 0.05;

/** Two boxes of one pass that overlap more than this show one person. */
const maxOverlap = 0.5;

/** A box that ends this close to a tile's inner edge, as a share of the tile, is taken to be cut by it: the network places edges to a few px of its 416. */
const cutMargin = 0.05;

/** Whether a tile's edge, where it is not the picture's own, cuts the box: the person goes on in the next tile. */
export function cutByTile(
  box: BoxTuple,
  tile: PxRectangle,
  picture: Pick<Rgb8, 'width' | 'height'>,
): boolean {
  const marginX = cutMargin * tile.width;
  const marginY = cutMargin * tile.height;
  return (
    (tile.x > 0 && box[0] < tile.x + marginX) ||
    (tile.y > 0 && box[1] < tile.y + marginY) ||
    (tile.x + tile.width < picture.width && box[0] + box[2] > tile.x + tile.width - marginX) ||
    (tile.y + tile.height < picture.height && box[1] + box[3] > tile.y + tile.height - marginY)
  );
}

function uncut(found: readonly Detection[], region: PxRectangle, picture: Rgb8): readonly ScoredBox[] {
  const whole: ScoredBox[] = [];
  for (const { box, score } of found) {
    const px = boxInPx(box, picture);
    if (!cutByTile(px, region, picture)) whole.push({ box: px, score });
  }
  return whole;
}

export interface Look {
  /** Boxes in px of the picture, scores the network's own 0..1. */
  readonly found: readonly ScoredBox[];
  /** The parts of the picture that were looked at, px. */
  readonly regions: readonly PxRectangle[];
}

/** Whether a look could see somebody in this box, not cut by a tile's edge. */
export const couldSee = (
  { regions }: Look,
  box: BoxTuple,
  picture: Pick<Rgb8, 'width' | 'height'>,
): boolean => regions.some((region) => !cutByTile(box, region, picture));

/** Looks at the same parts of a picture, as they are or with left and right changed. */
export type View = (mirrored: boolean) => Promise<Look>;

/**
 * @param picture 8-bit sRGB, usually the reduced one.
 * @param regions its whole or tiles, px.
 */
export const viewOf =
  (picture: Rgb8, regions: readonly PxRectangle[]): View =>
  async (mirrored) => {
    const found: ScoredBox[] = [];
    for (const region of regions) {
      const detections = await detectObjects(picture, {
        minScore: lowestScore,
        maxOverlap,
        region,
        mirrored,
      });
      found.push(...uncut(detections, region, picture));
    }
    return { found, regions };
  };

/**
 * Takes further looks at a picture, each independent of the others, until nothing is left to be settled: in overlapping tiles, then
 * whole and tiles mirrored. What only one look sees is mostly no person, so the looks are kept apart for the fusion.
 *
 * @param whole the picture's view as a whole
 * @param first what it showed as it is
 * @returns all looks, the first included
 */
export async function lookFurther(
  picture: Rgb8,
  whole: View,
  first: Look,
  isSettled: (looks: readonly Look[]) => boolean,
): Promise<readonly Look[]> {
  const looks = [first];
  if (isSettled(looks)) return looks;
  const views = [whole];
  const tiles = planTiles(picture.width, picture.height);
  if (tiles.length > 0) {
    const view = viewOf(picture, tiles);
    looks.push(await view(false));
    if (isSettled(looks)) return looks;
    views.push(view);
  }
  for (const view of views) looks.push(await view(true));
  return looks;
}
