import type { PointTuple } from './polygon.ts';

/** Twice the area of the triangle, positive where the turn at `b` is to the right on a picture (y downwards). */
const turn = (a: PointTuple, b: PointTuple, c: PointTuple): number =>
  (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);

/** Convex hull (Andrew, "Another efficient algorithm for convex hulls in two dimensions", 1979), clockwise on a picture. */
export function convexHull(points: readonly PointTuple[]): readonly PointTuple[] {
  const sorted = [...points].sort(leftToRight);
  return [...halfHull(sorted), ...halfHull(sorted.toReversed())];
}

const leftToRight = (a: PointTuple, b: PointTuple): number => a[0] - b[0] || a[1] - b[1];

/** The hull on one side of points in order, without the last of them. */
function halfHull(order: readonly PointTuple[]): readonly PointTuple[] {
  const chain: PointTuple[] = [];
  for (const point of order) {
    while (chain.length > 1 && turn(chain.at(-2)!, chain.at(-1)!, point) <= 0) chain.pop();
    chain.push(point);
  }
  return chain.slice(0, -1);
}

/** Area of a polygon, by the shoelace formula. */
export function areaOfPolygon(corners: readonly PointTuple[]): number {
  const doubled = corners.reduce((sum, [x, y], i) => {
    const [nextX, nextY] = corners[(i + 1) % corners.length]!;
    return sum + x * nextY - nextX * y;
  }, 0);
  return Math.abs(doubled) / 2;
}

/** Where the lines through `a`, `b` and through `c`, `d` meet; `null` where they do not meet beyond `b` and before `c`. */
function meetingPoint(a: PointTuple, b: PointTuple, c: PointTuple, d: PointTuple): PointTuple | null {
  const [ux, uy] = [b[0] - a[0], b[1] - a[1]];
  const [vx, vy] = [c[0] - d[0], c[1] - d[1]];
  const cross = ux * vy - uy * vx;
  if (cross >= 0) return null;
  const share = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / cross;
  return [a[0] + share * ux, a[1] + share * uy];
}

/**
 * Four sides around a convex polygon: the side whose neighbours meet with the least area added is left out, again and again. `null`
 * for fewer than four corners, or where no four of its sides close.
 */
export function quadrilateralAround(hull: readonly PointTuple[]): readonly PointTuple[] | null {
  const corners = [...hull];
  while (corners.length > 4) {
    const count = corners.length;
    let best: { side: number; corner: PointTuple; area: number } | null = null;
    for (let side = 0; side < count; side++) {
      const [from, to] = [corners[side]!, corners[(side + 1) % count]!];
      const corner = meetingPoint(corners.at(side - 1)!, from, to, corners[(side + 2) % count]!);
      if (corner === null) continue;
      const area = areaOfPolygon([from, corner, to]);
      if (best === null || area < best.area) best = { side, corner, area };
    }
    if (best === null) return null;
    corners[best.side] = best.corner;
    corners.splice((best.side + 1) % count, 1);
  }
  return corners.length === 4 ? corners : null;
}

/** Angles at the corners of a polygon, degrees. */
export function anglesOf(corners: readonly PointTuple[]): readonly number[] {
  return corners.map(([x, y], i) => {
    const [before, after] = [corners.at(i - 1)!, corners[(i + 1) % corners.length]!];
    const one = Math.atan2(before[1] - y, before[0] - x);
    const other = Math.atan2(after[1] - y, after[0] - x);
    const between = (Math.abs(one - other) * 180) / Math.PI;
    return Math.min(between, 360 - between);
  });
}

/** Lengths of the sides, each from a corner to the next one. */
export function sidesOf(corners: readonly PointTuple[]): readonly number[] {
  return corners.map(([x, y], i) => {
    const [nextX, nextY] = corners[(i + 1) % corners.length]!;
    return Math.hypot(nextX - x, nextY - y);
  });
}
