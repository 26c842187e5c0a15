/** Relative luminance (0..1, linear) of 8-bit sRGB pictures: summed by cells, counted under a mask. */
import { bytesAt, doublesAt, integersAt, kernels, Room } from '../../kernels/kernels.ts';
import type { RgbPicture } from '../resample.ts';
import { luminanceOfByte } from './srgb.ts';

const codes = 256;
/** What each code of red, of green and of blue adds. */
const tables = new Float64Array(3 * codes);
for (const [channel, table] of luminanceOfByte.entries()) tables.set(table, codes * channel);

/**
 * @param cellOfX of each column of the picture, and `cellOfY` of each row: their sum is the cell that a px lies in
 * @returns luminance of the px of each cell, added up row after row
 */
export function luminanceByCell(
  { width, height, data }: RgbPicture,
  cellOfX: Int32Array,
  cellOfY: Int32Array,
  cells: number,
): Float64Array {
  const room = new Room();
  const [row, columns, weights] = [room.take(3 * width), room.put(cellOfX), room.put(tables)];
  const at = room.take(8 * cells);
  const bytes = bytesAt(row, 3 * width);
  const sums = doublesAt(at, cells).fill(0);
  for (let y = 0; y < height; y++) {
    bytes.set(data.subarray(3 * y * width, 3 * (y + 1) * width));
    kernels.addLuminance(row, width, weights, columns, at + 8 * cellOfY[y]!);
  }
  return sums.slice();
}

/**
 * @param mask coverage 0..255 of each px
 * @param least coverage from which a px counts
 * @param rowStep 2 looks at every second row
 * @param bins of the square root of luminance
 * @returns px by the nearest of `bins + 1` roots from 0 to 1
 */
export function countRootLuminance(
  { width, height, data }: RgbPicture,
  mask: Uint8Array,
  least: number,
  rowStep: number,
  bins: number,
): Int32Array {
  const room = new Room();
  const [row, cover, weights] = [room.take(3 * width), room.take(width), room.put(tables)];
  const at = room.take(4 * (bins + 1));
  const bytes = bytesAt(row, 3 * width);
  const coverage = bytesAt(cover, width);
  const histogram = integersAt(at, bins + 1).fill(0);
  for (let y = 0; y < height; y += rowStep) {
    bytes.set(data.subarray(3 * y * width, 3 * (y + 1) * width));
    coverage.set(mask.subarray(y * width, (y + 1) * width));
    kernels.countRoots(row, width, weights, cover, least, bins, at);
  }
  return histogram.slice();
}
