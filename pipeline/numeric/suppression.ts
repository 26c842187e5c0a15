import { type BoxTuple, intersectionOverUnion } from './boxes.ts';

export interface ScoredBox {
  readonly box: BoxTuple;
  readonly score: number;
}

/**
 * Greedy non-maximum suppression: the best-scored box stays, every other box that shows the same thing goes, and so on.
 * Of equal scores the earlier one stays.  * Two boxes show the same thing when their IoU is above `maxIou` (0..1) and they are of the same kind.
 *
 * @returns the survivors, best first; always a subset of `boxes`.
 * Source: Felzenszwalb et al., "Object Detection with Discriminatively Trained Part-Based Models", PAMI 2010, section 5.2.
 */
export function suppress<T extends ScoredBox>(
  boxes: readonly T[],
  maxIou: number,
  sameKind: (a: T, b: T) => boolean = always,
): readonly T[] {
  const kept: T[] = [];
  for (const item of [...boxes].sort(bestFirst)) {
    if (!showsOneOf(kept, item, maxIou, sameKind)) kept.push(item);
  }
  return kept;
}

const always = (): boolean => true;

/** Sorting is stable: of equal scores the earlier one stays in front. */
const bestFirst = (a: ScoredBox, b: ScoredBox): number => b.score - a.score;

function showsOneOf<T extends ScoredBox>(
  kept: readonly T[],
  item: T,
  maxIou: number,
  sameKind: (a: T, b: T) => boolean,
): boolean {
  for (const better of kept) {
    if (sameKind(better, item) && intersectionOverUnion(better.box, item.box) > maxIou) return true;
  }
  return false;
}
