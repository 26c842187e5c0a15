/** Finds a border of four straight sides around something in a picture: the edge of a poster, a painting or a screen. */
import type { BoxTuple } from './boxes.ts';
import { edgePoints } from './gradient.ts';
import type { LumaPlane } from './luma.ts';
import type { PointTuple } from './polygon.ts';

/** Steps weaker than this, levels a sample, are the texture of a wall. */
const faintestStep = 3;
/** Tangents by which a side may lean: perspective, and a camera not quite level. */
const leans = [-0.16, -0.12, -0.08, -0.04, 0, 0.04, 0.08, 0.12, 0.16] as const;
/** Share of a side that has to be edge, and how many lines that have it are tried for each side. */
const leastSide = 0.6;
const mostLines = 4;
/** How far beyond its corners a side is followed: samples, or share of its length; the corner itself is left out. */
const beyondSamples = 10;
const beyondShare = 0.25;
const cornerSamples = 3;
/** Where the plane ends nobody knows whether a side goes on. */
const unknownBeyond = 0.3;

/** Where an edge of one direction was seen: not 0. */
interface EdgeMap extends Pick<LumaPlane, 'width' | 'height'> {
  readonly marked: Uint8Array;
}

interface EdgeMaps {
  /** Edges that run up and down, and edges that run from side to side. */
  readonly upright: EdgeMap;
  readonly level: EdgeMap;
}

/** A line across the plane: at `middle` along it, it stands at `place`, and moves by `lean` with each sample. */
interface Line {
  readonly share: number;
  readonly place: number;
  readonly lean: number;
  readonly middle: number;
}

function edgeMaps(plane: LumaPlane, known: (x: number, y: number) => boolean): EdgeMaps {
  const { width, height } = plane;
  const [upright, level] = [new Uint8Array(width * height), new Uint8Array(width * height)];
  const { count, index, nx, ny } = edgePoints(plane, faintestStep);
  for (let k = 0; k < count; k++) {
    const at = index[k]!;
    if (!known(at % width, Math.floor(at / width))) continue;
    const [across, down] = [Math.abs(nx[k]!), Math.abs(ny[k]!)];
    // A line between two samples is seen in either.
    if (across >= down) upright.fill(1, at - 1, at + 2);
    if (down >= across) for (const by of [-width, 0, width]) level[at + by] = 1;
  }
  return { upright: { width, height, marked: upright }, level: { width, height, marked: level } };
}

/** Share of the way from one place to another that is edge; `null` where more than a tenth of it lies outside. */
function shareOfEdge(
  { width, height, marked }: EdgeMap,
  fromX: number,
  fromY: number,
  toX: number,
  toY: number,
): number | null {
  const steps = Math.max(4, Math.ceil(Math.max(Math.abs(toX - fromX), Math.abs(toY - fromY))));
  let [inside, seen] = [0, 0];
  for (let i = 0; i <= steps; i++) {
    const x = Math.round(fromX + ((toX - fromX) * i) / steps);
    const y = Math.round(fromY + ((toY - fromY) * i) / steps);
    if (x < 0 || y < 0 || x >= width || y >= height) continue;
    inside++;
    seen += marked[y * width + x]!;
  }
  return inside < 0.9 * (steps + 1) ? null : seen / inside;
}

/** The line through `place`, half way between `from` and `to`, that is edge for the most part: of equal ones the first. */
function bestLine(maps: EdgeMaps, direction: keyof EdgeMaps, place: number, from: number, to: number): Line {
  const middle = (from + to) / 2;
  let best: Line = { share: -1, place, lean: 0, middle };
  for (let i = 0; i < leans.length; i++) {
    const lean = leans[i]!;
    const [start, end] = [place + lean * (from - middle), place + lean * (to - middle)];
    const share =
      (direction === 'upright'
        ? shareOfEdge(maps.upright, start, from, end, to)
        : shareOfEdge(maps.level, from, start, to, end)) ?? 0;
    if (share > best.share) best = { share, place, lean, middle };
  }
  return best;
}

/** The best lines that cross places `low` to `high` and are edge from `from` to `to` along their way. */
function linesBetween(
  maps: EdgeMaps,
  direction: keyof EdgeMaps,
  [low, high]: readonly [number, number],
  [from, to]: readonly [number, number],
): readonly Line[] {
  const lines: Line[] = [];
  for (let place = low; place <= high; place++) lines.push(bestLine(maps, direction, place, from, to));
  return lines
    .filter(({ share }, i) => {
      const near = lines.slice(Math.max(0, i - 2), i + 3);
      return share >= leastSide && near.every((other) => other.share <= share);
    })
    .sort((a, b) => b.share - a.share)
    .slice(0, mostLines);
}

/** Where an upright and a level line meet. */
function corner(upright: Line, level: Line): PointTuple {
  const x =
    (upright.place + upright.lean * (level.place - level.lean * level.middle - upright.middle)) /
    (1 - upright.lean * level.lean);
  return [x, level.place + level.lean * (x - level.middle)];
}

/** Share of what follows a side beyond its end `to` that is edge. */
function shareBeyond(map: EdgeMap, from: PointTuple, to: PointTuple): number {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const length = Math.hypot(dx, dy);
  const [x, y] = [dx / length, dy / length];
  const reach = cornerSamples + Math.max(beyondSamples, beyondShare * length);
  const share = shareOfEdge(
    map,
    to[0] + cornerSamples * x,
    to[1] + cornerSamples * y,
    to[0] + reach * x,
    to[1] + reach * y,
  );
  return share ?? unknownBeyond;
}

/** @param corners from the upper left one clockwise. */
function closureOf({ upright, level }: EdgeMaps, corners: readonly PointTuple[]): number {
  let weakest = 1;
  let shares = 0;
  let beyond = 0;
  for (let side = 0; side < 4; side++) {
    const [from, to] = [corners[side]!, corners[(side + 1) % 4]!];
    const map = side % 2 === 0 ? level : upright;
    const share = shareOfEdge(map, from[0], from[1], to[0], to[1]) ?? 0;
    if (share < leastSide) return 0;
    weakest = Math.min(weakest, share);
    shares += share;
  }
  for (let side = 0; side < 4; side++) {
    const [from, to] = [corners[side]!, corners[(side + 1) % 4]!];
    const map = side % 2 === 0 ? level : upright;
    beyond += shareBeyond(map, from, to);
    beyond += shareBeyond(map, to, from);
  }
  return shares / 4 + weakest / 2 - 0.75 * (beyond / 8);
}

export interface StraightBorder {
  /**
   * How surely the four sides close, up to 1.5: the share of them that is edge, the weakest counted half as much again, less three
   * quarters of how much goes on beyond the corners, as the lines of a building or a kerb do.
   */
  readonly closure: number;
  /** From the upper left one clockwise, samples. */
  readonly corners: readonly PointTuple[];
}

/**
 * The four straight sides that close best around a box.
 *
 * @param plane luma 0..255
 * @param box samples of the plane; a side may touch it but not cut through it
 * @param reach how far from the box sides are looked for, samples
 * @param known whether the plane shows a picture at that sample
 * @returns `null` where no four sides are straight and edge for the most part
 */
export function straightBorder(
  plane: LumaPlane,
  [x, y, width, height]: BoxTuple,
  reach: number,
  known: (x: number, y: number) => boolean,
): StraightBorder | null {
  const maps = edgeMaps(plane, known);
  // The outermost tenth of a box may hold nothing of the person: a side need not pass it.
  const down = [y + 0.1 * height, y + 0.9 * height] as const;
  const across = [x + 0.1 * width, x + 0.9 * width] as const;
  const lefts = linesBetween(maps, 'upright', [x - reach, x + 0.06 * width], down);
  const rights = linesBetween(maps, 'upright', [x + 0.94 * width, x + width + reach], down);
  const tops = linesBetween(maps, 'level', [y - reach, y + 0.06 * height], across);
  const bottoms = linesBetween(maps, 'level', [y + 0.92 * height, y + height + reach], across);
  let best: StraightBorder | null = null;
  for (const left of lefts) {
    for (const right of rights) {
      for (const top of tops) {
        for (const bottom of bottoms) {
          const corners = [
            corner(left, top),
            corner(right, top),
            corner(right, bottom),
            corner(left, bottom),
          ];
          const closure = closureOf(maps, corners);
          if (closure > (best?.closure ?? 0)) best = { closure, corners };
        }
      }
    }
  }
  return best;
}
