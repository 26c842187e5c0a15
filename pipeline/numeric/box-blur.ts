/**
 * Mean over a square window, cut at the edges: the mean is taken over the cells that exist.
 * @param values row after row, `columns` x `rows`
 * @param reach cells to each side; the window is `2 * reach + 1` wide
 */
export function boxBlur(values: Float32Array, columns: number, rows: number, reach: number): Float32Array {
  const across = new Float32Array(values.length);
  for (let y = 0; y < rows; y++) {
    const row = y * columns;
    let sum = 0;
    for (let x = 0; x < Math.min(reach, columns); x++) sum += values[row + x]!;
    for (let x = 0; x < columns; x++) {
      if (x + reach < columns) sum += values[row + x + reach]!;
      if (x - reach > 0) sum -= values[row + x - reach - 1]!;
      across[row + x] = sum / (Math.min(columns - 1, x + reach) - Math.max(0, x - reach) + 1);
    }
  }
  const result = new Float32Array(values.length);
  const sums = new Float64Array(columns);
  for (let y = 0; y < Math.min(reach, rows); y++) {
    for (let x = 0; x < columns; x++) sums[x]! += across[y * columns + x]!;
  }
  for (let y = 0; y < rows; y++) {
    const entering = y + reach < rows ? (y + reach) * columns : -1;
    const leaving = y - reach > 0 ? (y - reach - 1) * columns : -1;
    const count = Math.min(rows - 1, y + reach) - Math.max(0, y - reach) + 1;
    for (let x = 0; x < columns; x++) {
      if (entering >= 0) sums[x]! += across[entering + x]!;
      if (leaving >= 0) sums[x]! -= across[leaving + x]!;
      result[y * columns + x] = sums[x]! / count;
    }
  }
  return result;
}
