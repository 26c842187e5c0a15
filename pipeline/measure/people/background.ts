import type { BackgroundPerson } from '../../contracts/measurement/people.ts';
import { type BoxTuple, clipBox, intersectionOverUnion, shareInside } from '../../numeric/boxes.ts';
import type { FusedBox } from '../../numeric/fusion.ts';
import { type ScoredBox, suppress } from '../../numeric/suppression.ts';
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
  for (const subject of subjects) {
    if (intersectionOverUnion(box, subject.box) > subjectLimits.iou) return true;
    if (shareInside(box, subject.box) <= 0.05) continue;
    const { ofBox, ofPerson } = subject.share(box);
    if (ofBox > subjectLimits.ofBox || ofPerson > subjectLimits.ofPerson) return true;
  }
  return false;
}

/**
 * Limits of the fused score, all chosen on the evaluation photographs with even numbers. As in edge tracking by hysteresis (Canny
 * 1986), one `sure` person makes weaker ones believable, because people come together; without a sure one the weak stay out.
 */
const sure = 0.33;
const believable = 0.25;
const faint = 0.2;
/**
 * What the first looks see below this stays out whatever further ones see; up to 0.18 nothing changes for a person or a frame of the even
 * numbers.
 */
const doubtful = 0.15;
/** Overlap from which two fused boxes are one person. */
const maxOverlap = 0.5;
/** A box this far inside a better one and this much lower is more often a part of that person than somebody else. */
const partOfOther = { inside: 0.8, height: 0.7 } as const;

/**
 * Whether further looks would hardly change who is named: each candidate is too weak, or two witnesses make it a person already. After
 * one look only a picture without anybody is settled, since others may be too small for it.
 *
 * @param candidates fused from the looks so far
 * @param looks how many these are
 */
export function isSettled(candidates: readonly FusedBox[], looks: number): boolean {
  const isPerson = ({ score, seenBy }: FusedBox, least: number) => looks > 1 && seenBy > 1 && score >= least;
  const least = candidates.some((candidate) => isPerson(candidate, sure)) ? believable : sure;
  return candidates.every((candidate) => candidate.score < doubtful || isPerson(candidate, least));
}

export interface Found extends ScoredBox {
  readonly mayBe: string | null;
}

function isPart(box: BoxTuple, other: BoxTuple): boolean {
  const [small, large] = box[2] * box[3] < other[2] * other[3] ? [box, other] : [other, box];
  return shareInside(small, large) >= partOfOther.inside && small[3] < partOfOther.height * large[3];
}

/** The people among fused candidates that are not the subject, surest first; what may be no further live person says what it may be. */
export function keepPeople(candidates: readonly ScoredBox[]): readonly Found[] {
  const seen = suppress(
    candidates.filter(({ score }) => score >= faint),
    maxOverlap,
  );
  if (!seen.some(({ score }) => score >= sure)) return [];
  return seen.map(({ box, score }, index) => {
    const part = seen.slice(0, index).some((better) => isPart(box, better.box));
    const mayBe = part
      ? 'part of the person it overlaps'
      : score < believable
        ? 'a shape, statue, poster or reflection'
        : null;
    return { box, score, mayBe };
  });
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

/**
 * Facts of one background person; mask and blur are filled in by who draws and measures them.
 * @param standingShare share of the body points that show, `null` where no pose was found there.
 */
export function backgroundPerson(
  { box, score, mayBe }: Found,
  standingShare: number | null,
  subjects: readonly BoxTuple[],
  size: PictureSize,
): BackgroundPerson {
  const { width, height } = size;
  const [x, y, w, h] = clipBox(box, width, height);
  const gaps = subjects.map((subject) => gapBetween(box, subject));
  return {
    box: [x / width, y / height, w / width, h / height],
    score,
    mask: null,
    maskKind: null,
    shareOfFrame: (w * h) / (width * height),
    blurSigmaPx: null,
    cutBy: edgeThatCuts(box, size),
    overlapWithSubject: Math.max(0, ...subjects.map((subject) => shareInside(box, subject))),
    distanceToSubject: gaps.length === 0 ? null : Math.min(...gaps) / Math.max(width, height),
    standingShare,
    mayBe,
  };
}
