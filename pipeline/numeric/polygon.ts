/** Plain geometry of points `[x, y]`, any unit. */
export type PointTuple = readonly [number, number];

/** Even-odd rule (Shimrat, "Algorithm 112", Communications of the ACM 1962). */
export function insidePolygon(corners: readonly PointTuple[], x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = corners.length - 1; i < corners.length; j = i++) {
    // By index: taken apart, a point's numbers would be allocated anew for every cell of a picture.
    const here = corners[i]!;
    const before = corners[j]!;
    if (here[1] > y === before[1] > y) continue;
    if (x < ((before[0] - here[0]) * (y - here[1])) / (before[1] - here[1]) + here[0]) inside = !inside;
  }
  return inside;
}

/** Nearest point of a segment: `distance` to it, and `along` from 0 at `from` to 1 at `to`. */
export interface NearestOnSegment {
  distance: number;
  along: number;
}

/** Writes into `nearest`, because it is called for every cell of a picture: a fresh object each time would cost more than the sum. */
export function nearestOnSegment(
  from: PointTuple,
  to: PointTuple,
  x: number,
  y: number,
  nearest: NearestOnSegment,
): void {
  const dx = to[0] - from[0];
  const dy = to[1] - from[1];
  const lengthSquared = dx * dx + dy * dy;
  const place = lengthSquared === 0 ? 0 : ((x - from[0]) * dx + (y - from[1]) * dy) / lengthSquared;
  const along = place < 0 ? 0 : Math.min(place, 1);
  const offX = x - from[0] - along * dx;
  const offY = y - from[1] - along * dy;
  nearest.along = along;
  // Math.hypot is several times slower and its care for overflow is not needed here.
  nearest.distance = Math.sqrt(offX * offX + offY * offY);
}
