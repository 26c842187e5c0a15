/**
 * Difference hash: what the frame looks like in 64 bits, so that a second take of the same pose is found by counting bits that differ.
 * The picture is averaged to 9 x 8 cells of luma; each bit says whether a cell is brighter than its left neighbour (row by row, first
 * bit highest). Unmoved by size, exposure and compression; moved by crop, mirror and pose.
 */
import type { FrameImage } from '../contracts/frame-image.ts';

const columns = 9;
const rows = 8;
/** Codes: above what rounding leaves between equal cells, far below what a picture shows. */
const equalCells = 1e-6;

/** @returns `dhash64`: 16 lower-case hexadecimal digits. Compare with `hammingDistance`. */
export function measureLikeness(image: FrameImage): { readonly dhash64: string } {
  const luma = averageCells(image);
  let hash = '';
  for (let row = 0; row < rows; row++) {
    let byte = 0;
    for (let column = 1; column < columns; column++) {
      const cell = row * columns + column;
      byte = (byte << 1) | (luma[cell]! > luma[cell - 1]! + equalCells ? 1 : 0);
    }
    hash += byte.toString(16).padStart(2, '0');
  }
  return { dhash64: hash };
}

/** Mean luma (ITU-R BT.709-6 weights, encoded values) of each cell; px on a border count in both cells by the part that lies in them. */
function averageCells({ analysis }: FrameImage): Float64Array {
  const { width, height, data } = analysis;
  const sums = new Float64Array(columns * rows);
  /** Luma of a row's px up to each column. */
  const before = new Float64Array(width + 1);
  const cellsOfRow = new Float64Array(columns);
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i += 3) {
      before[x + 1] = before[x]! + 0.2126 * data[i]! + 0.7152 * data[i + 1]! + 0.0722 * data[i + 2]!;
    }
    let left = 0;
    for (let column = 0; column < columns; column++) {
      const right = sumUpTo(before, ((column + 1) * width) / columns);
      cellsOfRow[column] = right - left;
      left = right;
    }
    // The row as cells see it; where there are fewer px than cells it lies in several of them.
    const [from, to] = [(y * rows) / height, ((y + 1) * rows) / height];
    for (let cell = Math.floor(from); cell < Math.min(rows, Math.ceil(to)); cell++) {
      const share = (Math.min(to, cell + 1) - Math.max(from, cell)) / (to - from);
      for (let column = 0; column < columns; column++)
        sums[cell * columns + column]! += share * cellsOfRow[column]!;
    }
  }
  const cellPx = (width / columns) * (height / rows);
  return sums.map((sum) => sum / cellPx);
}

/** Of a px that is cut, the part that lies before the place. */
function sumUpTo(before: Float64Array, place: number): number {
  const whole = Math.min(before.length - 2, Math.floor(place));
  return before[whole]! + (place - whole) * (before[whole + 1]! - before[whole]!);
}
