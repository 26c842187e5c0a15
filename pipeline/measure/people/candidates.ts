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

/**
 * Where the body point network sees somebody as well the score rises. A pose is a witness more for one candidate alone, the one it
 * overlaps most; another that it raises is often a second box half on the same person, whose witnesses may have meant her: it keeps one.
 * Best first.
 */
export function backedByPoses(fused: readonly FusedBox[], poses: readonly ScoredBox[]): readonly FusedBox[] {
  const witnessed = new Set(poses.map((pose) => mostOverlapped(fused, pose.box)));
  return fused
    .map((candidate) => {
      const pose = bestPoseAt(candidate.box, poses);
      const seenBy = witnessed.has(candidate) ? candidate.seenBy + 1 : pose > 0 ? 1 : candidate.seenBy;
      return { box: candidate.box, score: candidate.score + poseWeight * pose, seenBy };
    })
    .sort((a, b) => b.score - a.score);
}

/** The box that overlaps most, by more than `sameIou`; `null` where none does. */
function mostOverlapped(boxes: readonly FusedBox[], box: BoxTuple): FusedBox | null {
  let best: FusedBox | null = null;
  let most = sameIou;
  for (const candidate of boxes) {
    const iou = intersectionOverUnion(candidate.box, box);
    if (iou > most) {
      best = candidate;
      most = iou;
    }
  }
  return best;
}

function bestPoseAt(box: BoxTuple, poses: readonly ScoredBox[]): number {
  let best = 0;
  for (const pose of poses) {
    if (pose.score > best && intersectionOverUnion(pose.box, box) > sameIou) best = pose.score;
  }
  return best;
}
