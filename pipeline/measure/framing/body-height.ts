import type { BodyPoint, cutPlaces } from '../../contracts/measurement/people.ts';

/**
 * Where along the body a height in the picture lies, as a number that runs from the head down:
 * 0 shoulders, 1 hips, 2 knees, 3 ankles, 4 soles; in between in proportion.
 */

/**
 * A body point below is a guess: 0.3 is what the network's publisher recommends as confident. It matters here, because joints that
 * are out of the frame are guessed to lie at its very edge.
 */
const leastScore = 0.3;

/**
 * Distances down the standing body in lengths of the trunk (middle of the shoulders to middle of the hips), as this network
 * places the points: medians over the evaluation photographs with even numbers. Used where a point is out of the frame.
 */
const perTrunk = { knees: 0.76, ankles: 0.7, soles: 0.33 } as const;
/** Width of the shoulders of a body seen from the front in lengths of the trunk, from the same photographs. */
export const shouldersPerTrunk = 0.61;
/** Nose to shoulders in lengths of the trunk, from the same photographs. */
const nosePerTrunk = 0.33;

export interface Level {
  /** Share of the frame's height; beyond 1 below the frame. */
  readonly y: number;
  /** Whether body points show it; otherwise it is worked out from the part above it. */
  readonly seen: boolean;
}

export interface BodyLevels {
  readonly shoulders: Level;
  readonly hips: Level;
  readonly knees: Level;
  readonly ankles: Level;
  readonly soles: Level;
}

/** Mean height of a pair of points that are seen inside the frame; `null` where neither is. */
function pairHeight(points: readonly BodyPoint[], part: string): number | null {
  const seen = points.filter(
    ({ name, at, score }) =>
      (name === `left-${part}` || name === `right-${part}`) && score >= leastScore && at[1] > 0 && at[1] < 1,
  );
  return seen.length === 0 ? null : seen.reduce((sum, { at }) => sum + at[1], 0) / seen.length;
}

/**
 * Heights of the joints of a roughly upright body.
 * @param aspect width of the frame over its height.
 * @returns `null` where not even the shoulders are seen.
 */
export function bodyLevels(points: readonly BodyPoint[], aspect: number): BodyLevels | null {
  const shoulders = pairHeight(points, 'shoulder');
  if (shoulders === null) return null;
  const point = (name: string) => points.find((candidate) => candidate.name === name);
  const hips = pairHeight(points, 'hip');
  const left = point('left-shoulder');
  const right = point('right-shoulder');
  const wide = left && right ? (Math.abs(left.at[0] - right.at[0]) * aspect) / shouldersPerTrunk : 0;
  const nose = point('nose');
  const fromHead = nose && nose.score >= leastScore ? (shoulders - nose.at[1]) / nosePerTrunk : 0;
  const trunk = hips !== null && hips > shoulders ? hips - shoulders : Math.max(wide, fromHead);
  if (trunk <= 0) return null;
  const level = (seen: number | null, above: number, distance: number): Level =>
    seen !== null && seen > above ? { y: seen, seen: true } : { y: above + distance * trunk, seen: false };
  const hipLevel = level(hips, shoulders, 1);
  const kneeLevel = level(pairHeight(points, 'knee'), hipLevel.y, perTrunk.knees);
  const ankleLevel = level(pairHeight(points, 'ankle'), kneeLevel.y, perTrunk.ankles);
  return {
    shoulders: { y: shoulders, seen: true },
    hips: hipLevel,
    knees: kneeLevel,
    ankles: ankleLevel,
    soles: { y: ankleLevel.y + perTrunk.soles * trunk, seen: false },
  };
}

/** Points of the head; the first five of the COCO order. */
const headParts = ['nose', 'left-eye', 'right-eye', 'left-ear', 'right-ear'] as const;

/** Whether any point of the head is seen, from whichever side. */
export const showsHead = (points: readonly BodyPoint[]): boolean =>
  points.some(({ name, score }) => score >= leastScore && headParts.some((part) => part === name));

/** The body height at a height of the picture, 0 shoulders to 4 soles; below 0 above the shoulders. */
export function bodyHeightAt(y: number, levels: BodyLevels): number {
  const steps = [levels.shoulders.y, levels.hips.y, levels.knees.y, levels.ankles.y, levels.soles.y];
  let part = 0;
  while (part < steps.length - 2 && y >= steps[part + 1]!) part += 1;
  const from = steps[part]!;
  return part + (y - from) / (steps[part + 1]! - from);
}

/** Up to here, on the way from ankles (3) to soles (4), a cut goes through the ankle, from here through the feet. */
export const ankleBelow = 3.3;

/**
 * Upper bounds of the parts by body height. A joint takes in what a retoucher would call cut at the joint, about a hand's
 * width to each side (common practice); the rest follows from the joints. Hips near the frame's edge are placed too high by the
 * network: photographs with even numbers, cut four fifths of the way from shoulders to hips, read 1.02 (median), cut at the hips
 * 1.10, half-way to the knees 1.63; the bounds of the hip lie between these.
 */
const bounds: readonly (readonly [number, (typeof cutPlaces)[number]])[] = [
  [0, 'head'],
  [0.45, 'chest'],
  [1.05, 'waist'],
  [1.3, 'hip'],
  [1.82, 'thigh'],
  [2.18, 'knee'],
  [2.8, 'shin'],
  [ankleBelow, 'ankle'],
  [Number.POSITIVE_INFINITY, 'feet'],
];

export function partAt(bodyHeight: number): (typeof cutPlaces)[number] {
  return bounds.find(([bound]) => bodyHeight < bound)?.[1] ?? 'feet';
}
