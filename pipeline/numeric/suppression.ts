import { type BoxTuple, intersectionOverUnion } from './boxes.ts';

export interface ScoredBox {
  readonly box: BoxTuple;
  readonly score: number;
}

/**
 * Greedy non-maximum suppression: the best-scored box stays, every other box that shows the same thing goes, and so on.
 * Of equal scores the earlier one stays, so the result does not depend on the sort.
 *
 * @param sameThing whether `other` shows the same thing as the better-scored `kept`.
 * @returns the survivors, best first; always a subset of `boxes`.
 * Source: Felzenszwalb et al., "Object Detection with Discriminatively Trained Part-Based Models", PAMI 2010, section 5.2.
 */
export function suppress<T extends ScoredBox>(
  boxes: readonly T[],
  sameThing: (kept: T, other: T) => boolean,
): readonly T[] {
  const order = boxes
    .map((item, index) => ({ item, index }))
    .sort((a, b) => b.item.score - a.item.score || a.index - b.index);
  const kept: T[] = [];
  for (const { item } of order) {
    if (!kept.some((better) => sameThing(better, item))) kept.push(item);
  }
  return kept;
}

/** The usual test of {@link suppress}: two boxes show the same thing when their IoU is above `maxIou` (0..1). */
export const overlapsMoreThan =
  (maxIou: number) =>
  (kept: ScoredBox, other: ScoredBox): boolean =>
    intersectionOverUnion(kept.box, other.box) > maxIou;
