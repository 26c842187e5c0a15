import { type BoxTuple, intersectionOverUnion } from './boxes.ts';
import type { ScoredBox } from './suppression.ts';

export interface FusedBox extends ScoredBox {
  /** How many of the looks saw it. */
  readonly seenBy: number;
}

interface Cluster {
  readonly members: ScoredBox[];
  readonly scores: Map<number, number>;
  box: BoxTuple;
}

function weightedMean(members: readonly ScoredBox[]): BoxTuple {
  let total = 0;
  let [left, top, width, height] = [0, 0, 0, 0];
  for (const { box, score } of members) {
    total += score;
    left += score * box[0];
    top += score * box[1];
    width += score * box[2];
    height += score * box[3];
  }
  return [left / total, top / total, width / total, height / total];
}

interface Seen {
  readonly item: ScoredBox;
  readonly look: number;
}

/** Sorting is stable: equal scores stay in the order of the looks and, within a look, in its own. */
const bestSeenFirst = (a: Seen, b: Seen): number => b.item.score - a.item.score;
const bestFirst = (a: ScoredBox, b: ScoredBox): number => b.score - a.score;

/**
 * Join what several looks at one picture found. Best score first, each box joins the cluster it overlaps most, above `minIou`
 * and without a box of the same look, or starts one. The fused box is the mean weighted by score; the fused score is the mean of
 * the cluster's `witnesses` best scores, a missing one counting 0, so that what one look alone saw comes out weak. Only looks that
 * could have seen it are missed.
 *
 * @param looks lists of positive-scored boxes, one a look.
 * @param couldSee how many of the looks, at least one, can see what is in a box; all of them where absent.
 * @returns fused boxes, best first.
 * After Solovyev, Wang, Gabruseva, "Weighted boxes fusion", Image and Vision Computing 107 (2021); there a missing look lowers
 * the score in proportion to the number of all looks.
 */
export function fuseLooks(
  looks: readonly (readonly ScoredBox[])[],
  minIou: number,
  witnesses: number,
  couldSee: (box: BoxTuple) => number = () => looks.length,
): readonly FusedBox[] {
  const all: Seen[] = [];
  for (const [look, boxes] of looks.entries()) for (const item of boxes) all.push({ item, look });
  all.sort(bestSeenFirst);
  const clusters: Cluster[] = [];
  for (const { item, look } of all) {
    let best: Cluster | null = null;
    let most = minIou;
    for (const cluster of clusters) {
      if (cluster.scores.has(look)) continue;
      const iou = intersectionOverUnion(cluster.box, item.box);
      if (iou > most) {
        best = cluster;
        most = iou;
      }
    }
    if (best === null) {
      clusters.push({ members: [item], scores: new Map([[look, item.score]]), box: item.box });
      continue;
    }
    best.members.push(item);
    best.scores.set(look, item.score);
    best.box = weightedMean(best.members);
  }
  return clusters
    .map(({ box, scores }) => {
      const top = [...scores.values()].sort((a, b) => b - a).slice(0, witnesses);
      const expected = Math.min(witnesses, couldSee(box));
      return { box, score: top.reduce((sum, score) => sum + score, 0) / expected, seenBy: scores.size };
    })
    .sort(bestFirst);
}
