/** For each place of an axis: the cell before it, the next one, and the next one's share. */
export interface BilinearPlaces {
  readonly before: Int32Array;
  readonly next: Int32Array;
  readonly share: Float64Array;
}

/**
 * Where the places of an axis lie between the middles of cells; beyond the outermost middles the outermost cell goes on.
 * @param start place at which the first cell begins, in parts of a place
 * @param length places that all cells together reach over, or those that `perLength` cells do
 */
export function bilinearPlaces(
  places: number,
  cells: number,
  start: number,
  length: number,
  perLength = cells,
): BilinearPlaces {
  const before = new Int32Array(places);
  const next = new Int32Array(places);
  const share = new Float64Array(places);
  for (let place = 0; place < places; place++) {
    const at = Math.min(cells - 1, Math.max(0, ((place + 0.5 - start) / length) * perLength - 0.5));
    before[place] = Math.floor(at);
    next[place] = Math.min(cells - 1, before[place]! + 1);
    share[place] = at - before[place]!;
  }
  return { before, next, share };
}
