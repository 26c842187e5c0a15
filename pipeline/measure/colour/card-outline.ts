import type { PointTuple } from '../../numeric/polygon.ts';
import {
  anglesOf,
  areaOfPolygon,
  convexHull,
  quadrilateralAround,
  sidesOf,
} from '../../numeric/quadrilateral.ts';
import type { FlatPatch } from './flat-patches.ts';

/** Of the hull that the patch fills, and of four straight sides that the hull fills: a disc fills 0.79, a triangle 0.5 of a rectangle. */
const leastFilled = 0.9;
/** Perspective and a held tilt turn right angles by less, and keep opposite sides this much alike. */
const mostOffSquareDeg = 25;
const leastSideRatio = 0.7;
/** Cards are sold between square and twice as long as wide; a sleeve's cuff or a belt is longer. Common practice. */
const leastAspect = 0.45;

/** Corners of the outermost px of every row: what lies between them is no corner of the hull. */
function outermost(runs: FlatPatch['runs']): readonly PointTuple[] {
  const points: PointTuple[] = [];
  for (let first = 0, next = 0; first < runs.length; first = next) {
    const { row, start } = runs[first]!;
    while (next < runs.length && runs[next]!.row === row) next++;
    const { end } = runs[next - 1]!;
    points.push([start, row], [end, row], [start, row + 1], [end, row + 1]);
  }
  return points;
}

/** The corners of the patch's outline where it is that of a card held about square to the camera. */
export function cornersOf({ runs, areaPx }: FlatPatch): readonly PointTuple[] | null {
  const hull = convexHull(outermost(runs));
  const corners = quadrilateralAround(hull);
  if (corners === null) return null;
  const hullArea = areaOfPolygon(hull);
  const [a, b, c, d] = sidesOf(corners) as [number, number, number, number];
  const ratio = (one: number, other: number): number => Math.min(one, other) / Math.max(one, other);
  const card =
    areaPx >= leastFilled * hullArea &&
    hullArea >= leastFilled * areaOfPolygon(corners) &&
    anglesOf(corners).every((angle) => Math.abs(angle - 90) <= mostOffSquareDeg) &&
    Math.min(ratio(a, c), ratio(b, d)) >= leastSideRatio &&
    ratio(a + c, b + d) >= leastAspect;
  return card ? corners : null;
}
