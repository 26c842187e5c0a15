import type { Box } from '../../contracts/box.ts';
import type { Mask, Rgb8 } from '../../contracts/frame-image.ts';
import type { maskKinds } from '../../contracts/measurement/people.ts';
import { type BoxTuple, boxInPx, clipBox, growBox } from '../../numeric/boxes.ts';
import { guidedFilter, reducedCells } from '../../numeric/guided-filter.ts';
import { cutLuma, TileRoom } from '../../numeric/luma.ts';
import { coverOnPatch } from '../regions/person-cover.ts';
import { subjectBody } from './subject-body.ts';

export interface Outline {
  readonly kind: (typeof maskKinds)[number];
  /** Of the size of the picture. */
  readonly mask: Mask;
}

/** Room around the box for hair, hems and hands that it cuts, in its own widths and heights. */
const margin = 0.1;
/** Share of the picture's longer side: below, a shape is as near to the person as any outline can be told. */
const leastHeight = 0.08;
/** The network has to see a person, and that person has to fill the box about as people do (a third to two thirds). */
const leastPresence = 0.5;
const leastShareOfBox = 0.2;
/** px of the network's mask over which its edge is moved onto the picture's. */
const reachCells = 2;
/** Variance of luma 0..255: steps below 8 levels are noise. */
const flat = 0.001 * 255 ** 2;
/** Growth of the shape on each side, share of the picture's longer side: half of the 1 % that a mask may be off. */
const shapeGrowth = 0.005;

/** Used again for every person: see {@link TileRoom}. */
const room = new TileRoom();

/** Whether somebody is tall enough in the picture for an outline of her own; `box` in shares of it. */
export const hasOutline = (picture: Rgb8, box: Box): boolean =>
  box[3] * picture.height >= leastHeight * Math.max(picture.width, picture.height);

/** A capsule around the box: round at head and feet, where a standing person leaves the corners of a box free. */
function shapeAround(box: BoxTuple, image: Rgb8): Mask {
  const { width, height } = image;
  const growth = shapeGrowth * Math.max(width, height);
  const radius = Math.min(box[2], box[3]) / 2 + growth;
  // Somebody cut by the frame's edge goes on beyond it, so there the shape is not round.
  const before = (start: number) => (start <= growth ? start - radius : start - growth);
  const after = (end: number, size: number) => (end >= size - growth ? end + radius : end + growth);
  const [x, y] = [before(box[0]), before(box[1])];
  const [w, h] = [after(box[0] + box[2], width) - x, after(box[1] + box[3], height) - y];
  const data = new Uint8Array(width * height);
  const [left, top, wide, tall] = clipBox([x, y, w, h], width, height);
  for (let row = Math.floor(top); row < Math.min(height, Math.ceil(top + tall)); row++) {
    const dy = Math.max(0, y + radius - (row + 0.5), row + 0.5 - (y + h - radius));
    for (let column = Math.floor(left); column < Math.min(width, Math.ceil(left + wide)); column++) {
      const dx = Math.max(0, x + radius - (column + 0.5), column + 0.5 - (x + w - radius));
      const inside = Math.min(1, Math.max(0, radius - Math.hypot(dx, dy) + 0.5));
      data[row * width + column] = Math.round(255 * inside);
    }
  }
  return { width, height, data };
}

/**
 * One person's mask by BlazePose, its edge moved onto the picture's own edges by a guided filter; where the person is too small,
 * or the network sees nobody, a generous shape around the box.
 *
 * @param image the reduced picture.
 * @param box the person, shares of the picture.
 * @returns coverage 0..255, half is the outline.
 */
export async function outlinePerson(image: Rgb8, box: Box): Promise<Outline> {
  const { width, height } = image;
  const px = boxInPx(box, image);
  const shape = (): Outline => ({ kind: 'shape', mask: shapeAround(px, image) });
  if (!hasOutline(image, box)) return shape();
  const body = await subjectBody(image, box);
  if (body.presence < leastPresence) return shape();

  const [x, y, w, h] = clipBox(growBox(px, margin), width, height);
  const guide = cutLuma(image, 3, x, y, x + w, y + h, room);
  const cellPx = body.region.width / body.side;
  // The network's mask holds nothing finer than its cells, so half a cell is step enough.
  const step = Math.max(1, Math.round(cellPx / 2));
  const [columns, rows] = [reducedCells(guide.width, step), reducedCells(guide.height, step)];
  const region = { x: guide.x, y: guide.y, width: columns * step, height: rows * step };
  const cover = { columns, rows, data: coverOnPatch(body, { region, columns, rows }) };
  const luma = { columns: guide.width, rows: guide.height, data: guide.data };
  const edged = guidedFilter(luma, cover, reachCells * cellPx, flat, step, luma.data);

  const data = new Uint8Array(width * height);
  let covered = 0;
  for (let row = 0, at = 0; row < guide.height; row++) {
    let to = (guide.y + row) * width + guide.x;
    for (const end = to + guide.width; to < end; to++, at++) {
      const value = Math.min(1, Math.max(0, edged[at]!));
      covered += value;
      data[to] = 255 * value + 0.5;
    }
  }
  return covered >= leastShareOfBox * px[2] * px[3]
    ? { kind: 'outline', mask: { width, height, data } }
    : shape();
}
