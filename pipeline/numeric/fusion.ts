import { type BoxTuple, intersectionOverUnion } from './boxes.ts';
import type { ScoredBox } from './suppression.ts';

interface Cluster {
  readonly members: ScoredBox[];
  readonly scores: Map<number, number>;
  box: BoxTuple;
}

function weightedMean(members: readonly ScoredBox[]): BoxTuple {
  const total = members.reduce((sum, { score }) => sum + score, 0);
  const side = (index: 0 | 1 | 2 | 3) =>
    members.reduce((sum, { box, score }) => sum + score * box[index], 0) / total;
  return [side(0), side(1), side(2), side(3)];
}

/**
 * Join what several looks at one picture found. Best score first, each box joins the cluster it overlaps most, above `minIou`
 * and without a box of the same look, or starts one. The fused box is the mean weighted by score; the fused score is the mean of
 * the cluster's `witnesses` best scores, a missing one counting 0, so that what one look alone saw comes out weak.
 *
 * @param looks lists of positive-scored boxes, one a look.
 * @returns fused boxes, best first.
 * After Solovyev, Wang, Gabruseva, "Weighted boxes fusion", Image and Vision Computing 107 (2021); there a missing look lowers
 * the score in proportion to the number of all looks.
 */
export function fuseLooks(
  looks: readonly (readonly ScoredBox[])[],
  minIou: number,
  witnesses: number,
): readonly ScoredBox[] {
  const all = looks
    .flatMap((boxes, look) => boxes.map((item, index) => ({ item, look, index })))
    .sort((a, b) => b.item.score - a.item.score || a.look - b.look || a.index - b.index);
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
      return { box, score: top.reduce((sum, score) => sum + score, 0) / witnesses };
    })
    .sort((a, b) => b.score - a.score);
}
