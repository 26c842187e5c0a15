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

/** For each output place: the first source place and the weights from there on (sum 1). Places may lie outside. */
interface Taps {
  readonly first: Int32Array;
  readonly weights: Float32Array;
  readonly perPlace: number;
}

function triangleTaps(start: number, length: number, places: number): Taps {
  const scale = length / places;
  const reach = Math.max(scale, 1);
  const perPlace = Math.ceil(2 * reach) + 1;
  const first = new Int32Array(places);
  const weights = new Float32Array(places * perPlace);
  for (let place = 0; place < places; place++) {
    const centre = start + (place + 0.5) * scale - 0.5;
    const from = Math.ceil(centre - reach);
    first[place] = from;
    let sum = 0;
    for (let tap = 0; tap < perPlace; tap++) {
      const weight = Math.max(0, 1 - Math.abs(from + tap - centre) / reach);
      weights[place * perPlace + tap] = weight;
      sum += weight;
    }
    for (let tap = 0; tap < perPlace; tap++) weights[place * perPlace + tap]! /= sum;
  }
  return { first, weights, perPlace };
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
  const columns = triangleTaps(region.x, region.width, width);
  const rows = triangleTaps(region.y, region.height, height);
  const firstRow = Math.max(0, rows.first[0]!);
  const lastRow = Math.min(picture.height - 1, rows.first[height - 1]! + rows.perPlace - 1);
  const result = new Float32Array(3 * width * height).fill(0);
  const rowOf = new Float32Array(3 * width);
  const outside = new Float32Array(height).fill(1);

  // Each source row is narrowed once, then added to every output row that uses it.
  let nextPlace = 0;
  for (let y = firstRow; y <= lastRow; y++) {
    narrowRow(picture, y, columns, fill, rowOf);
    while (nextPlace < height && rows.first[nextPlace]! + rows.perPlace <= y) nextPlace++;
    for (let place = nextPlace; place < height && rows.first[place]! <= y; place++) {
      const weight = rows.weights[place * rows.perPlace + y - rows.first[place]!]!;
      if (weight === 0) continue;
      outside[place]! -= weight;
      const base = 3 * width * place;
      for (let index = 0; index < rowOf.length; index++) result[base + index]! += weight * rowOf[index]!;
    }
  }
  for (let place = 0; place < height; place++) {
    // Rounding alone leaves about 1e-7 here; that is not a row outside the picture.
    if (outside[place]! < 1e-5) continue;
    const base = 3 * width * place;
    for (let index = 0; index < rowOf.length; index++) result[base + index]! += outside[place]! * fill;
  }
  return result;
}

function narrowRow(picture: RgbPicture, y: number, columns: Taps, fill: number, into: Float32Array): void {
  const { data, width } = picture;
  const row = y * width;
  const { first, weights, perPlace } = columns;
  for (let place = 0; place < first.length; place++) {
    let red = 0;
    let green = 0;
    let blue = 0;
    const from = first[place]!;
    const tapBase = place * perPlace;
    for (let tap = 0; tap < perPlace; tap++) {
      const weight = weights[tapBase + tap]!;
      if (weight === 0) continue;
      const x = from + tap;
      if (x < 0 || x >= width) {
        const value = weight * fill;
        red += value;
        green += value;
        blue += value;
        continue;
      }
      const source = 3 * (row + x);
      red += weight * data[source]!;
      green += weight * data[source + 1]!;
      blue += weight * data[source + 2]!;
    }
    into[3 * place] = red;
    into[3 * place + 1] = green;
    into[3 * place + 2] = blue;
  }
}
