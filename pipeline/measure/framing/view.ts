import type { BodyPoint, views } from '../../contracts/measurement/people.ts';
import { shouldersPerTrunk } from './body-height.ts';

type View = (typeof views)[number];

/** Points below are guesses: half of the 0.3 that the network's publisher recommends as confident. */
const leastScore = 0.15;
/** Width of the hips (joints, not cloth) from the front in lengths of the trunk: median over the evaluation photographs with even numbers. */
const hipsPerTrunk = 0.37;

/**
 * Bounds between the views and, mirrored, those from behind. Half-way between 0 and 60 degrees is also where the evaluation
 * photographs with even numbers divide best.
 */
const frontBelowDeg = 30;
const sideAboveDeg = 70;

/**
 * How far the trunk is turned from the camera: the distance from right to left shoulder (and hip) across the picture, over
 * what it would be from the front, is the cosine of the turn; it is negative from behind, where left and right change places.
 *
 * @param aspect width of the frame over its height.
 * @returns degrees 0..180, or `null` where shoulders or hips are not seen.
 */
export function trunkTurn(points: readonly BodyPoint[], aspect: number): number | null {
  const at = (name: string) => points.find((point) => point.name === name);
  const leftShoulder = at('left-shoulder');
  const rightShoulder = at('right-shoulder');
  const leftHip = at('left-hip');
  const rightHip = at('right-hip');
  if (!leftShoulder || !rightShoulder || !leftHip || !rightHip) return null;
  if (Math.max(leftShoulder.score, rightShoulder.score) < leastScore) return null;
  const trunk = Math.hypot(
    ((leftShoulder.at[0] + rightShoulder.at[0] - leftHip.at[0] - rightHip.at[0]) / 2) * aspect,
    (leftShoulder.at[1] + rightShoulder.at[1] - leftHip.at[1] - rightHip.at[1]) / 2,
  );
  if (trunk <= 0) return null;
  const cosine = (left: BodyPoint, right: BodyPoint, perTrunk: number) =>
    Math.max(-1, Math.min(1, ((left.at[0] - right.at[0]) * aspect) / (perTrunk * trunk)));
  const shoulderWeight = Math.min(leftShoulder.score, rightShoulder.score);
  const hipWeight = Math.min(leftHip.score, rightHip.score);
  if (shoulderWeight + hipWeight <= 0) return null;
  const mean =
    (shoulderWeight * cosine(leftShoulder, rightShoulder, shouldersPerTrunk) +
      hipWeight * cosine(leftHip, rightHip, hipsPerTrunk)) /
    (shoulderWeight + hipWeight);
  return (Math.acos(mean) * 180) / Math.PI;
}

export function viewOf(turnDeg: number | null): View {
  if (turnDeg === null) return 'unknown';
  if (turnDeg < frontBelowDeg) return 'front';
  if (turnDeg > 180 - frontBelowDeg) return 'back';
  return turnDeg > sideAboveDeg && turnDeg < 180 - sideAboveDeg ? 'side' : 'three-quarter';
}
