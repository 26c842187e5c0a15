import type { Rgb8 } from '../../contracts/frame-image.ts';
import { type BoxTuple, intersectionOverUnion } from '../../numeric/boxes.ts';
import { type FusedBox, fuseLooks } from '../../numeric/fusion.ts';
import type { ScoredBox } from '../../numeric/suppression.ts';
import { couldSee, type Look } from './looks.ts';

/** Overlap from which boxes of different looks show one person, and how many looks have to agree for a full score. */
export const sameIou = 0.4;
const witnesses = 2;
/** A body point network that sees somebody there as well adds this share of its own score; chosen on the even-numbered evaluation photographs. */
const poseWeight = 0.5;

/** What several looks found, fused; best first. */
export function fuse(looks: readonly Look[], picture: Rgb8): readonly FusedBox[] {
  const lookers = (box: BoxTuple): number => looks.filter((look) => couldSee(look, box, picture)).length;
  return fuseLooks(
    looks.map(({ found }) => found),
    sameIou,
    witnesses,
    lookers,
  );
}

/** Where the body point network sees somebody as well the score rises, and there is one witness more. Best first. */
export function backedByPoses(fused: readonly FusedBox[], poses: readonly ScoredBox[]): readonly FusedBox[] {
  return fused
    .map(({ box, score, seenBy }) => {
      const pose = bestPoseAt(box, poses);
      return { box, score: score + poseWeight * pose, seenBy: pose > 0 ? seenBy + 1 : seenBy };
    })
    .sort((a, b) => b.score - a.score);
}

function bestPoseAt(box: BoxTuple, poses: readonly ScoredBox[]): number {
  let best = 0;
  for (const pose of poses) {
    if (pose.score > best && intersectionOverUnion(pose.box, box) > sameIou) best = pose.score;
  }
  return best;
}
