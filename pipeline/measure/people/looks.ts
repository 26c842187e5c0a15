import type { Rgb8 } from '../../contracts/frame-image.ts';
import { type BoxTuple, boxInPx } from '../../numeric/boxes.ts';
import type { PxRectangle } from '../../numeric/resample.ts';
import type { ScoredBox } from '../../numeric/suppression.ts';
import { type Detection, detectObjectsBothWays } from '../networks/nanodet.ts';
import { planTiles, wholePicture } from './passes.ts';

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

async function look(picture: Rgb8, region: PxRectangle): Promise<readonly (readonly ScoredBox[])[]> {
  const bothWays = await detectObjectsBothWays(picture, { minScore: lowestScore, region, maxOverlap });
  return bothWays.map((found) => uncut(found, region, picture));
}

function uncut(found: readonly Detection[], region: PxRectangle, picture: Rgb8): readonly ScoredBox[] {
  const whole: ScoredBox[] = [];
  for (const { box, score } of found) {
    const px = boxInPx(box, picture);
    if (!cutByTile(px, region, picture)) whole.push({ box: px, score });
  }
  return whole;
}

/**
 * Everybody that could be a person, in independent looks at one picture: whole and in overlapping tiles, each also mirrored.
 * What only one look sees is mostly no person, so the looks are kept apart for the fusion.
 *
 * @param picture 8-bit sRGB, usually the reduced one.
 * @returns one list a look, boxes in px of the picture, scores the network's own 0..1.
 */
export async function lookForPeople(picture: Rgb8): Promise<readonly (readonly ScoredBox[])[]> {
  const { width, height } = picture;
  const looks = await look(picture, wholePicture(width, height));
  const tiles = planTiles(width, height);
  if (tiles.length === 0) return looks;
  const plain: ScoredBox[] = [];
  const mirrored: ScoredBox[] = [];
  for (const tile of tiles) {
    const [here, there] = await look(picture, tile);
    plain.push(...here!);
    mirrored.push(...there!);
  }
  return [...looks, plain, mirrored];
}
