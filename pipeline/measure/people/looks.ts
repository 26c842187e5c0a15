import type { Rgb8 } from '../../contracts/frame-image.ts';
import { type BoxTuple, boxInPx } from '../../numeric/boxes.ts';
import type { PxRectangle } from '../../numeric/resample.ts';
import type { ScoredBox } from '../../numeric/suppression.ts';
import { detectObjects } from '../networks/nanodet.ts';
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

function mirrored({ width, height, data }: Rgb8): Rgb8 {
  const result = new Uint8Array(data.length);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const to = 3 * (y * width + x);
      const from = 3 * (y * width + width - 1 - x);
      result[to] = data[from]!;
      result[to + 1] = data[from + 1]!;
      result[to + 2] = data[from + 2]!;
    }
  }
  return { width, height, data: result };
}

async function look(picture: Rgb8, region: PxRectangle): Promise<readonly ScoredBox[]> {
  const found = await detectObjects(picture, { minScore: lowestScore, region, maxOverlap });
  return found
    .map(({ box, score }): ScoredBox => ({ box: boxInPx(box, picture), score }))
    .filter(({ box }) => !cutByTile(box, region, picture));
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
  const mirror = mirrored(picture);
  const back = ({ box: [x, y, w, h], score }: ScoredBox): ScoredBox => ({
    box: [width - x - w, y, w, h],
    score,
  });
  const whole = wholePicture(width, height);
  const looks = [await look(picture, whole), (await look(mirror, whole)).map(back)];
  const tiles = planTiles(width, height);
  if (tiles.length === 0) return looks;
  const plain: ScoredBox[] = [];
  const turned: ScoredBox[] = [];
  for (const tile of tiles) {
    plain.push(...(await look(picture, tile)));
    turned.push(...(await look(mirror, { ...tile, x: width - tile.x - tile.width })).map(back));
  }
  return [...looks, plain, turned];
}
