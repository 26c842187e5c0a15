/** One over the number of cells that the window around each place holds. */
function inverseCounts(places: number, reach: number): Float64Array {
  const inverse = new Float64Array(places);
  for (let place = 0; place < places; place++) {
    inverse[place] = 1 / (Math.min(places - 1, place + reach) - Math.max(0, place - reach) + 1);
  }
  return inverse;
}

/**
 * Mean over a square window, cut at the edges: the mean is taken over the cells that exist.
 * @param values row after row, `columns` x `rows`
 * @param reach cells to each side; the window is `2 * reach + 1` wide
 */
export function boxBlur(values: Float32Array, columns: number, rows: number, reach: number): Float32Array {
  const across = new Float32Array(values.length);
  const perColumn = inverseCounts(columns, reach);
  for (let row = 0; row < values.length; row += columns) {
    let sum = 0;
    for (let x = 0; x < Math.min(reach, columns); x++) sum += values[row + x]!;
    for (let x = 0; x < columns; x++) {
      if (x + reach < columns) sum += values[row + x + reach]!;
      if (x > reach) sum -= values[row + x - reach - 1]!;
      across[row + x] = sum * perColumn[x]!;
    }
  }
  const result = new Float32Array(values.length);
  const perRow = inverseCounts(rows, reach);
  const sums = new Float64Array(columns);
  for (let at = 0; at < Math.min(reach, rows) * columns; at++) sums[at % columns]! += across[at]!;
  for (let y = 0; y < rows; y++) {
    const share = perRow[y]!;
    const here = y * columns;
    const entering = y + reach < rows ? here + reach * columns : -1;
    const leaving = y > reach ? here - (reach + 1) * columns : -1;
    for (let x = 0; x < columns; x++) {
      let sum = sums[x]!;
      if (entering >= 0) sum += across[entering + x]!;
      if (leaving >= 0) sum -= across[leaving + x]!;
      sums[x] = sum;
      result[here + x] = sum * share;
    }
  }
  return result;
}
