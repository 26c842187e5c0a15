/**
 * Cuts a rectangle out of an 8-bit RGB picture and brings it to another size.
 *
 * Enlarging is bilinear; reducing widens the same triangle over all source px that an output px covers, so nothing is
 * skipped. Sample positions are px centres. Outside the picture the `fill` colour is taken.
 */

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
export function resample(
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
  const row = new Float64Array(3 * (right - left));
  const result = new Float32Array(3 * width * height);
  for (let place = 0; place < height; place++) {
    mixRows(picture, left, rows, place, fill, row);
    narrowRow(row, left, columns, fill, result, 3 * width * place);
  }
  return result;
}

/** Adds up the source rows of one output row, as many at a time as there are: each pass over the sums costs as much as a row. */
function mixRows(
  { width, data }: RgbPicture,
  left: number,
  { first, count, weights, perPlace, outside }: Taps,
  place: number,
  fill: number,
  into: Float64Array,
): void {
  const stride = 3 * width;
  let source = first[place]! * stride + 3 * left;
  let tap = place * perPlace;
  const end = tap + count[place]!;
  into.fill(outside[place]! * fill);
  for (; tap + 3 < end; tap += 4, source += 4 * stride) {
    const [a, b, c, d] = [weights[tap]!, weights[tap + 1]!, weights[tap + 2]!, weights[tap + 3]!];
    for (let i = 0, at = source; i < into.length; i++, at++) {
      into[i]! +=
        a * data[at]! + b * data[at + stride]! + c * data[at + 2 * stride]! + d * data[at + 3 * stride]!;
    }
  }
  for (; tap + 1 < end; tap += 2, source += 2 * stride) {
    const [a, b] = [weights[tap]!, weights[tap + 1]!];
    for (let i = 0, at = source; i < into.length; i++, at++) {
      into[i]! += a * data[at]! + b * data[at + stride]!;
    }
  }
  if (tap < end) {
    const weight = weights[tap]!;
    for (let i = 0, at = source; i < into.length; i++, at++) into[i]! += weight * data[at]!;
  }
}

/** @param left source column at which `row` begins */
function narrowRow(
  row: Float64Array,
  left: number,
  { first, count, weights, perPlace, outside }: Taps,
  fill: number,
  into: Float32Array,
  start: number,
): void {
  for (let place = 0, to = start; place < first.length; place++, to += 3) {
    let red = outside[place]! * fill;
    let green = red;
    let blue = red;
    const end = place * perPlace + count[place]!;
    for (let tap = place * perPlace, at = 3 * (first[place]! - left); tap < end; tap++, at += 3) {
      const weight = weights[tap]!;
      red += weight * row[at]!;
      green += weight * row[at + 1]!;
      blue += weight * row[at + 2]!;
    }
    into[to] = red;
    into[to + 1] = green;
    into[to + 2] = blue;
  }
}
