import { weightedMedian } from '../../numeric/statistics.ts';

/** One comparison of two frames of a set: by how much the light of `a` differs from that of `b`, in log ratios, and how uncertain that is. */
export interface Comparison {
  readonly a: number;
  readonly b: number;
  readonly redGreen: number;
  readonly blueGreen: number;
  readonly sigma: number;
}

export interface Settled {
  readonly redGreen: number;
  readonly blueGreen: number;
  /** Standard uncertainty of each of the two. */
  readonly sigma: number;
}

/** Tukey's biweight is zero beyond this many standard uncertainties: 95 % efficient for normal errors (Beaton and Tukey, Technometrics 16 (1974) 147-185). */
const tuning = 4.685;
const sweeps = 30;
/** A ten-thousandth in log ratio is a hundredth of a mired. */
const negligible = 1e-4;

const biweight = (residual: number, sigma: number): number => {
  const u = residual / (tuning * sigma);
  return u >= 1 ? 0 : (1 - u * u) ** 2;
};

/** What frame `from` says of frame `to`'s light, given its own. */
interface Witness {
  readonly of: number;
  readonly redGreen: number;
  readonly blueGreen: number;
  readonly sigma: number;
}

/**
 * Places of all frames on one scale from comparisons of pairs, some of which may be plainly wrong: each frame is moved in turn to the
 * biweight mean of what the others say of it. Frames that nothing connects with the rest are `null`.
 *
 * The scale's zero is the median of the frames, weighted by certainty: the set's robust reference.
 */
export function settle(count: number, comparisons: readonly Comparison[]): (Settled | null)[] {
  const witnesses: Witness[][] = Array.from({ length: count }, () => []);
  for (const { a, b, redGreen, blueGreen, sigma } of comparisons) {
    witnesses[a]!.push({ of: b, redGreen, blueGreen, sigma });
    witnesses[b]!.push({ of: a, redGreen: -redGreen, blueGreen: -blueGreen, sigma });
  }
  const root = bestRoot(count, witnesses);
  if (root === null) return Array.from({ length: count }, () => null);
  const places = startFrom(root, count, witnesses);
  for (let sweep = 0, moved = Number.POSITIVE_INFINITY; sweep < sweeps && moved > negligible; sweep += 1) {
    moved = 0;
    for (let frame = 0; frame < count; frame += 1) {
      const own = places[frame];
      if (!own) continue;
      const next = meanOfWitnesses(own, witnesses[frame]!, places);
      moved = Math.max(moved, Math.abs(next[0] - own[0]), Math.abs(next[1] - own[1]));
      places[frame] = next;
    }
  }
  return centred(places, witnesses);
}

type Place = readonly [number, number];

/** The frame from which the others' comparisons agree best; `null` without comparisons. */
function bestRoot(count: number, witnesses: readonly (readonly Witness[])[]): number | null {
  let best: number | null = null;
  let most = 0;
  for (let root = 0; root < count; root += 1) {
    const places = startFrom(root, count, witnesses);
    let agreement = 0;
    places.forEach((own, frame) => {
      if (own === null) return;
      for (const witness of witnesses[frame]!)
        agreement += biweight(residualOf(own, witness, places), witness.sigma);
    });
    if (agreement > most) [best, most] = [root, agreement];
  }
  return best;
}

/** Frames placed outwards from `root`, each along its surest comparison with a frame that has its place. */
function startFrom(
  root: number,
  count: number,
  witnesses: readonly (readonly Witness[])[],
): (Place | null)[] {
  const places: (Place | null)[] = Array.from({ length: count }, () => null);
  places[root] = [0, 0];
  for (;;) {
    let surest: { frame: number; witness: Witness } | null = null;
    for (let frame = 0; frame < count; frame += 1) {
      if (places[frame]) continue;
      for (const witness of witnesses[frame]!) {
        if (places[witness.of] && (surest === null || witness.sigma < surest.witness.sigma))
          surest = { frame, witness };
      }
    }
    if (surest === null) return places;
    places[surest.frame] = claimOf(surest.witness, places);
  }
}

const claimOf = (witness: Witness, places: readonly (Place | null)[]): Place => {
  const [red, blue] = places[witness.of] ?? [0, 0];
  return [red + witness.redGreen, blue + witness.blueGreen];
};

const residualOf = (own: Place, witness: Witness, places: readonly (Place | null)[]): number => {
  const [red, blue] = claimOf(witness, places);
  return Math.sqrt((own[0] - red) ** 2 + (own[1] - blue) ** 2);
};

function meanOfWitnesses(
  own: Place,
  witnesses: readonly Witness[],
  places: readonly (Place | null)[],
): Place {
  let [total, red, blue] = [0, 0, 0];
  for (const witness of witnesses) {
    const weight = biweight(residualOf(own, witness, places), witness.sigma) / witness.sigma ** 2;
    const claim = claimOf(witness, places);
    total += weight;
    red += weight * claim[0];
    blue += weight * claim[1];
  }
  return total > 0 ? [red / total, blue / total] : own;
}

/** Uncertainty of a frame: of its surest witness that agrees, and how far the witnesses lie apart. */
function uncertaintyOf(own: Place, witnesses: readonly Witness[], places: readonly (Place | null)[]): number {
  let [total, squares] = [0, 0];
  let surest = Number.POSITIVE_INFINITY;
  for (const witness of witnesses) {
    const residual = residualOf(own, witness, places);
    const weight = biweight(residual, witness.sigma) / witness.sigma ** 2;
    if (weight === 0) continue;
    total += weight;
    // Two axes share the residual.
    squares += (weight * residual ** 2) / 2;
    surest = Math.min(surest, witness.sigma);
  }
  return total > 0 ? Math.hypot(surest, Math.sqrt(squares / total)) : Number.POSITIVE_INFINITY;
}

function centred(
  places: readonly (Place | null)[],
  witnesses: readonly (readonly Witness[])[],
): (Settled | null)[] {
  const sigmas = places.map((own, frame) =>
    own === null ? Number.POSITIVE_INFINITY : uncertaintyOf(own, witnesses[frame]!, places),
  );
  const sure = [...places.keys()].filter((frame) => Number.isFinite(sigmas[frame]!));
  if (sure.length === 0) return places.map(() => null);
  const weights = sure.map((frame) => 1 / sigmas[frame]!);
  const [red, blue] = [0, 1].map((axis) =>
    weightedMedian(
      sure.map((frame) => places[frame]![axis]!),
      weights,
    ),
  ) as [number, number];
  return places.map((own, frame) =>
    own === null || !Number.isFinite(sigmas[frame]!)
      ? null
      : { redGreen: own[0] - red, blueGreen: own[1] - blue, sigma: sigmas[frame]! },
  );
}
