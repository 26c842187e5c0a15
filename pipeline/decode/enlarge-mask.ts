import sharp from 'sharp';
import type { Mask } from '../contracts/frame-image.ts';

/** What the kernel of a place takes in beside it, px of the mask, and one more for rounding: a cubic reaches two on each side. */
const reachPx = 3;

interface Place {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** Start and length of the covered stretch of one direction, enlarged to `size` px, with its reach. */
function stretch(covered: Uint8Array, size: number): readonly [number, number] {
  const scale = size / covered.length;
  // -1, where nothing is covered, comes to the first few px.
  const start = Math.max(0, Math.floor((covered.indexOf(1) - reachPx) * scale));
  return [start, Math.min(size, Math.ceil((covered.lastIndexOf(1) + 1 + reachPx) * scale)) - start];
}

/** Where the enlarged mask can be anything but black, in px of the frame. */
function coveredPlace(mask: Mask, width: number, height: number): Place {
  const columns = new Uint8Array(mask.width);
  const rows = new Uint8Array(mask.height);
  for (let y = 0, at = 0; y < mask.height; y += 1)
    for (let x = 0; x < mask.width; x += 1, at += 1)
      if (mask.data[at] !== 0) {
        columns[x] = 1;
        rows[y] = 1;
      }
  const [left, wide] = stretch(columns, width);
  const [top, high] = stretch(rows, height);
  return { left, top, width: wide, height: high };
}

/**
 * A mask as large as its frame, 8-bit grey PNG. Both span the whole frame, so the smaller one is stretched to the size given, its
 * px centres kept: the edge does not move, it only becomes as fine as the frame. Only the place that is covered is worked out;
 * the rest is black.
 *
 * @param png 8-bit grey, at most as large as the frame.
 * @param width of the upright frame, px; `height` likewise.
 */
export async function enlargeMask(png: Uint8Array, width: number, height: number): Promise<Buffer> {
  const { data, info } = await sharp(png).toColourspace('b-w').raw().toBuffer({ resolveWithObject: true });
  const place = coveredPlace({ width: info.width, height: info.height, data }, width, height);
  return sharp(data, { raw: { width: info.width, height: info.height, channels: 1 } })
    .resize({ width, height, fit: 'fill', kernel: 'cubic' })
    .extract(place)
    .extend({
      left: place.left,
      top: place.top,
      right: width - place.left - place.width,
      bottom: height - place.top - place.height,
      background: 'black',
    })
    .toColourspace('b-w')
    .png()
    .toBuffer();
}
