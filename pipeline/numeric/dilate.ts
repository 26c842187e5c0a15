/**
 * Marks every cell with a marked cell in the square window around it (dilation by a square; Serra, "Image Analysis and
 * Mathematical Morphology", 1982).
 * @param marked row after row, `columns` x `rows`; not 0 is marked
 * @param reach cells to each side
 * @returns 1 where marked, else 0
 */
export function dilateSquare(marked: Uint8Array, columns: number, rows: number, reach: number): Uint8Array {
  const across = new Uint8Array(marked.length);
  for (let y = 0; y < rows; y++) {
    const row = y * columns;
    // Cells from the last marked one on: within reach of it, to the right and then to the left.
    let since = reach + 1;
    for (let x = 0; x < columns; x++) {
      since = marked[row + x] !== 0 ? 0 : since + 1;
      if (since <= reach) across[row + x] = 1;
    }
    since = reach + 1;
    for (let x = columns - 1; x >= 0; x--) {
      since = marked[row + x] !== 0 ? 0 : since + 1;
      if (since <= reach) across[row + x] = 1;
    }
  }
  const result = new Uint8Array(marked.length);
  const since = new Int32Array(columns).fill(reach + 1);
  for (let y = 0; y < rows; y++) {
    for (let x = 0; x < columns; x++) {
      since[x] = across[y * columns + x] !== 0 ? 0 : since[x]! + 1;
      if (since[x]! <= reach) result[y * columns + x] = 1;
    }
  }
  since.fill(reach + 1);
  for (let y = rows - 1; y >= 0; y--) {
    for (let x = 0; x < columns; x++) {
      since[x] = across[y * columns + x] !== 0 ? 0 : since[x]! + 1;
      if (since[x]! <= reach) result[y * columns + x] = 1;
    }
  }
  return result;
}
