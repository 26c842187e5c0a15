import { type BoxTuple, boxArea, intersectionOverUnion, shareInside } from './boxes.ts';
import type { ScoredBox } from './suppression.ts';

/** What one picture holds and what was found in it; boxes in px. */
export interface PictureBoxes {
  readonly truth: readonly BoxTuple[];
  /** Regions (crowds) in which a detection counts neither as a hit nor as a false alarm. */
  readonly ignored?: readonly BoxTuple[];
  readonly found: readonly ScoredBox[];
}

/** Range of box areas that are asked for, px²; `[0, Infinity]` is all. */
export type AreaRange = readonly [number, number];

/** Size bands of the COCO evaluation, px²: small below 32 x 32, medium up to 96 x 96, large above. */
export const cocoAreaRanges: Readonly<Record<'all' | 'small' | 'medium' | 'large', AreaRange>> = {
  all: [0, Number.POSITIVE_INFINITY],
  small: [0, 32 ** 2],
  medium: [32 ** 2, 96 ** 2],
  large: [96 ** 2, Number.POSITIVE_INFINITY],
};

type Outcome = { readonly score: number; readonly hit: boolean };

const within = (area: number, [low, high]: AreaRange) => area >= low && area <= high;

/**
 * Match found boxes to true ones as the COCO evaluation does: best score first, each to the free true box with the highest IoU
 * of at least `minIou`, boxes of the asked size before others; what matches a box of another size or a crowd, or is unmatched
 * and itself of another size, counts as neither.
 */
function matchPicture(picture: PictureBoxes, minIou: number, range: AreaRange): readonly Outcome[] {
  const truth = picture.truth
    .map((box) => ({ box, counts: within(boxArea(box), range), taken: false }))
    .sort((a, b) => Number(b.counts) - Number(a.counts));
  const outcomes: Outcome[] = [];
  for (const found of [...picture.found].sort((a, b) => b.score - a.score)) {
    let best: (typeof truth)[number] | null = null;
    let bestIou = minIou;
    for (const candidate of truth) {
      if (candidate.taken || (best?.counts && !candidate.counts)) continue;
      const iou = intersectionOverUnion(found.box, candidate.box);
      if (iou >= bestIou) {
        best = candidate;
        bestIou = iou;
      }
    }
    if (best !== null) {
      best.taken = true;
      if (best.counts) outcomes.push({ score: found.score, hit: true });
      continue;
    }
    // A crowd is measured by the share of the found box that lies in it, not by IoU.
    const inCrowd = (picture.ignored ?? []).some((crowd) => shareInside(found.box, crowd) >= minIou);
    if (!inCrowd && within(boxArea(found.box), range)) outcomes.push({ score: found.score, hit: false });
  }
  return outcomes;
}

/**
 * Average precision of one class over many pictures, 0..1, by the rules of the COCO evaluation (101 recall points, at most
 * 100 boxes a picture are expected); `null` where no true box is of the asked size.
 * Lin et al., "Microsoft COCO: Common Objects in Context", ECCV 2014, and the published evaluation code (`pycocotools`).
 */
export function averagePrecision(
  pictures: readonly PictureBoxes[],
  minIou = 0.5,
  range: AreaRange = cocoAreaRanges.all,
): number | null {
  const positives = pictures.reduce(
    (sum, picture) => sum + picture.truth.filter((box) => within(boxArea(box), range)).length,
    0,
  );
  if (positives === 0) return null;
  const outcomes = pictures
    .flatMap((picture) => matchPicture(picture, minIou, range))
    .sort((a, b) => b.score - a.score);
  const recall: number[] = [];
  const precision: number[] = [];
  let hits = 0;
  outcomes.forEach((outcome, index) => {
    if (outcome.hit) hits += 1;
    recall.push(hits / positives);
    precision.push(hits / (index + 1));
  });
  for (let i = precision.length - 2; i >= 0; i--) {
    precision[i] = Math.max(precision[i]!, precision[i + 1]!);
  }
  let sum = 0;
  for (let point = 0; point <= 100; point++) {
    const at = recall.findIndex((value) => value >= point / 100);
    sum += at < 0 ? 0 : precision[at]!;
  }
  return sum / 101;
}
