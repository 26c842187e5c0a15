/** For each place of an axis: the cell before it, the next one, and the next one's share. */
export interface BilinearPlaces {
  readonly before: Int32Array;
  readonly next: Int32Array;
  readonly share: Float64Array;
}

/**
 * Where the places of an axis lie between the middles of cells; beyond the outermost middles the outermost cell goes on.
 * @param cellOf how many cells lie before the middle of a place, in parts of a cell
 */
export function bilinearPlaces(
  places: number,
  cells: number,
  cellOf: (place: number) => number,
): BilinearPlaces {
  const before = new Int32Array(places);
  const next = new Int32Array(places);
  const share = new Float64Array(places);
  for (let place = 0; place < places; place++) {
    const at = Math.min(cells - 1, Math.max(0, cellOf(place) - 0.5));
    before[place] = Math.floor(at);
    next[place] = Math.min(cells - 1, before[place]! + 1);
    share[place] = at - before[place]!;
  }
  return { before, next, share };
}
