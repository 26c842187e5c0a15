/**
 * Cuts a rectangle out of an 8-bit RGB picture and brings it to another size.
 *
 * Enlarging is bilinear; reducing widens the same triangle over all source px that an output px covers, so nothing is
 * skipped. Sample positions are px centres. Outside the picture the `fill` colour is taken.
 */

import { alignment, bytesAt, floatsAt, kernels, Room } from '../kernels/kernels.ts';

/** 8-bit RGB, interleaved, row after row. */
export interface RgbPicture {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** In px of the picture, origin at the top left corner of the first px; may reach beyond the picture. */
export interface PxRectangle {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** How each output place is made of source places: `count` of them from `first` on, all inside the source, and the fill. */
interface Taps {
  readonly first: Int32Array;
  readonly count: Int32Array;
  /** Weights of a place begin at `place * perPlace`; together with `outside` they sum to 1. */
  readonly weights: Float64Array;
  readonly perPlace: number;
  /** Weight of what lies outside the source. */
  readonly outside: Float64Array;
}

function triangleTaps(start: number, length: number, places: number, sourcePlaces: number): Taps {
  const scale = length / places;
  const reach = Math.max(scale, 1);
  const perPlace = Math.ceil(2 * reach) + 1;
  const first = new Int32Array(places);
  const count = new Int32Array(places);
  const weights = new Float64Array(places * perPlace);
  const outside = new Float64Array(places);
  for (let place = 0; place < places; place++) {
    const centre = start + (place + 0.5) * scale - 0.5;
    const from = Math.ceil(centre - reach);
    const inside = Math.min(sourcePlaces, Math.max(0, from));
    const base = place * perPlace - inside;
    let last = inside - 1;
    let sum = 0;
    for (let at = from; at < from + perPlace; at++) {
      const weight = Math.max(0, 1 - Math.abs(at - centre) / reach);
      sum += weight;
      if (at < 0 || at >= sourcePlaces) outside[place]! += weight;
      else weights[base + at] = weight;
      if (weight > 0 && at < sourcePlaces) last = Math.max(last, at);
    }
    first[place] = inside;
    count[place] = last + 1 - inside;
    for (let at = inside; at <= last; at++) weights[base + at]! /= sum;
    outside[place]! /= sum;
  }
  return { first, count, weights, perPlace, outside };
}

/**
 * @param picture 8-bit RGB
 * @param region rectangle of the picture in px
 * @param width px of the result
 * @param height px of the result
 * @param fill value 0..255 of everything outside the picture
 * @returns interleaved RGB, `3 * width * height` values 0..255
 * @throws RangeError where a size is not positive
 */
export const resample = (
  picture: RgbPicture,
  region: PxRectangle,
  width: number,
  height: number,
  fill = 0,
): Float32Array => resampleForNow(picture, region, width, height, fill).slice();

/** As {@link resample}, for whoever reads the result at once: it lies in the kernels' memory, which the next kernel takes. */
export function resampleForNow(
  picture: RgbPicture,
  region: PxRectangle,
  width: number,
  height: number,
  fill = 0,
): Float32Array {
  if (!(region.width > 0 && region.height > 0 && width > 0 && height > 0)) {
    throw new RangeError(
      `expected positive sizes, received ${region.width} x ${region.height} to ${width} x ${height}`,
    );
  }
  const columns = triangleTaps(region.x, region.width, width, picture.width);
  const rows = triangleTaps(region.y, region.height, height, picture.height);
  // Places go from left to right: only the source columns between the first one's and the last one's are looked at.
  const left = columns.first[0]!;
  const right = columns.first[width - 1]! + columns.count[width - 1]!;
  const stride = 3 * picture.width;
  const samples = 3 * (right - left);
  // In loops, not in callbacks: see DEVELOPERS.md, "Hot closures".
  const fromLeft = new Int32Array(width);
  const filled = new Float64Array(width);
  for (let place = 0; place < width; place++) {
    fromLeft[place] = columns.first[place]! - left;
    filled[place] = columns.outside[place]! * fill;
  }

  const room = new Room();
  const source = room.take(Math.max(...rows.count) * stride + alignment);
  const sums = room.take(8 * (samples + 7));
  const rowWeights = room.put(rows.weights);
  const first = room.put(fromLeft);
  const count = room.put(columns.count);
  const weights = room.put(columns.weights);
  const outside = room.put(filled);
  const into = room.take(12 * width * height + alignment);
  const bytes = bytesAt(source, into - source);
  for (let place = 0; place < height; place++) {
    const start = rows.first[place]! * stride + 3 * left;
    const taken = rows.count[place]!;
    if (taken > 0) bytes.set(picture.data.subarray(start, start + (taken - 1) * stride + samples));
    const weightsOfRows = rowWeights + 8 * rows.perPlace * place;
    kernels.mixRows(source, stride, weightsOfRows, taken, rows.outside[place]! * fill, samples, sums);
    const row = into + 12 * width * place;
    kernels.mixColumns(sums, width, first, count, weights, columns.perPlace, outside, row);
  }
  return floatsAt(into, 3 * width * height);
}
