import type { BackgroundPerson } from '../../contracts/measurement/people.ts';
import { type BoxTuple, clipBox, intersectionOverUnion, shareInside } from '../../numeric/boxes.ts';
import { overlapsMoreThan, type ScoredBox, suppress } from '../../numeric/suppression.ts';
import type { MaskShare } from './mask-share.ts';

export interface PictureSize {
  readonly width: number;
  readonly height: number;
}

/** A subject's box in px and how her mask and another box share each other. */
export interface SubjectShape {
  readonly box: BoxTuple;
  readonly share: (box: BoxTuple) => MaskShare;
}

/** Chosen on the evaluation photographs with even numbers: people seen behind a model hold less of her, boxes around a part of her more. */
const subjectLimits = { iou: 0.5, ofBox: 0.5, ofPerson: 0.15 } as const;

/** Whether a box shows the subject or a part of her (a leg, the hair, her bag with the hand) rather than somebody else. */
export function showsSubject(box: BoxTuple, subjects: readonly SubjectShape[]): boolean {
  return subjects.some((subject) => {
    if (intersectionOverUnion(box, subject.box) > subjectLimits.iou) return true;
    if (shareInside(box, subject.box) <= 0.05) return false;
    const { ofBox, ofPerson } = subject.share(box);
    return ofBox > subjectLimits.ofBox || ofPerson > subjectLimits.ofPerson;
  });
}

/**
 * Two limits, as in edge tracking by hysteresis (Canny 1986): one sure person makes the weaker ones believable, because people
 * come together; without a sure one the weak stay out. Both chosen on the evaluation photographs with even numbers.
 */
const sure = 0.33;
const believable = 0.25;
/** Overlap from which two fused boxes are one person. */
const maxOverlap = 0.5;

/** The people among fused candidates that are not the subject, best first. */
export function keepPeople(candidates: readonly ScoredBox[]): readonly ScoredBox[] {
  const people = suppress(
    candidates.filter(({ score }) => score >= believable),
    overlapsMoreThan(maxOverlap),
  );
  return people.some(({ score }) => score >= sure) ? people : [];
}

/** The frame's edge that cuts the box, within the px that the network's rounding leaves; of several the one it meets most. */
export function edgeThatCuts(box: BoxTuple, { width, height }: PictureSize): BackgroundPerson['cutBy'] {
  const near = 0.005 * Math.max(width, height);
  if (box[0] <= near) return 'left';
  if (box[0] + box[2] >= width - near) return 'right';
  if (box[1] + box[3] >= height - near) return 'bottom';
  return box[1] <= near ? 'top' : null;
}

/** Shortest distance between two boxes, px; 0 where they overlap. */
export function gapBetween(a: BoxTuple, b: BoxTuple): number {
  const dx = Math.max(0, a[0] - (b[0] + b[2]), b[0] - (a[0] + a[2]));
  const dy = Math.max(0, a[1] - (b[1] + b[3]), b[1] - (a[1] + a[3]));
  return Math.hypot(dx, dy);
}

/** Facts of one background person; `mayBe`, blur and visible share are filled in by those who know. */
export function backgroundPerson(
  { box, score }: ScoredBox,
  subjects: readonly BoxTuple[],
  size: PictureSize,
): BackgroundPerson {
  const { width, height } = size;
  const [x, y, w, h] = clipBox(box, width, height);
  const gaps = subjects.map((subject) => gapBetween(box, subject));
  return {
    box: [x / width, y / height, w / width, h / height],
    score,
    shareOfFrame: (w * h) / (width * height),
    blurSigmaPx: null,
    cutBy: edgeThatCuts(box, size),
    overlapWithSubject: Math.max(0, ...subjects.map((subject) => shareInside(box, subject))),
    distanceToSubject: gaps.length === 0 ? null : Math.min(...gaps) / Math.max(width, height),
    standingShare: null,
    mayBe: null,
  };
}
