import { type BoxTuple, intersectionOverUnion } from './boxes.ts';

export interface Pairing {
  /** Pairs `[index of truth, index of found]`, best overlap first. */
  readonly pairs: readonly (readonly [number, number])[];
  readonly missed: readonly number[];
  readonly unmatched: readonly number[];
}

/**
 * Pair true boxes with found ones: the pair with the highest IoU first, each box at most once, no pair below `minIou`.
 * Unlike the matching inside average precision it looks at no score, so it suits "what was found at this setting".
 */
export function pairBoxes(truth: readonly BoxTuple[], found: readonly BoxTuple[], minIou: number): Pairing {
  const candidates = truth
    .flatMap((a, t) => found.map((b, f) => ({ t, f, iou: intersectionOverUnion(a, b) })))
    .filter(({ iou }) => iou >= minIou && iou > 0)
    .sort((a, b) => b.iou - a.iou || a.t - b.t || a.f - b.f);
  const usedTruth = new Set<number>();
  const usedFound = new Set<number>();
  const pairs: (readonly [number, number])[] = [];
  for (const { t, f } of candidates) {
    if (usedTruth.has(t) || usedFound.has(f)) continue;
    usedTruth.add(t);
    usedFound.add(f);
    pairs.push([t, f]);
  }
  return {
    pairs,
    missed: truth.map((_, index) => index).filter((index) => !usedTruth.has(index)),
    unmatched: found.map((_, index) => index).filter((index) => !usedFound.has(index)),
  };
}
