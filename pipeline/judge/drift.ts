import type { ColourEvidence } from '../contracts/measurement/colour.ts';
import { colourEvidence } from '../contracts/measurement/colour.ts';
import type { Measurement } from '../contracts/measurement/measurement.ts';
import type { Drift } from '../contracts/results.ts';
import { type LogRatios, uncertaintyOfCast, whitenessOfCast } from '../numeric/colour/cast.ts';
import { median } from '../numeric/statistics.ts';
import { clothDifference } from './drift/cloth-difference.ts';
import { type Comparable, comparable, compare, type EvidencedComparison } from './drift/compare.ts';
import { type Settled, settle } from './drift/settle.ts';

export interface SetFrame {
  readonly id: string;
  readonly measurement: Measurement;
}

/** Two frames can be compared, but a reference needs a third to be more than one of them. */
const fewestFrames = 3;

const white = whitenessOfCast({ redGreen: 0, blueGreen: 0 })!;

type Difference = NonNullable<Drift['flashAgainstNatural']>;

interface Row {
  readonly index: number;
  readonly settled: Settled;
  readonly difference: Difference;
  readonly evidence: ColourEvidence;
}

/** The frames `indices` placed against their own reference. */
function place(comparisons: readonly EvidencedComparison[], indices: readonly number[]): Row[] {
  const within = new Map(indices.map((index, order) => [index, order]));
  const among = comparisons.filter(({ a, b }) => within.has(a) && within.has(b));
  const settled = settle(
    indices.length,
    among.map((each) => ({ ...each, a: within.get(each.a)!, b: within.get(each.b)! })),
  );
  return indices.flatMap((index, order) => {
    const own = settled[order];
    const kinds = among.filter(({ a, b }) => a === index || b === index).map(({ evidence }) => evidence);
    const best = colourEvidence.find((kind) => kinds.includes(kind));
    const difference = own && inMired(own, own.sigma);
    return difference && best ? [{ index, settled: own, difference, evidence: best }] : [];
  });
}

/** `null` where the shift is too strong for a temperature. */
function inMired(shift: LogRatios, sigma: number): Difference | null {
  const tinted = whitenessOfCast(shift);
  return (
    tinted && { mired: tinted.mired - white.mired, duv: tinted.duv - white.duv, ...uncertaintyOfCast(sigma) }
  );
}

function driftRow(
  { index, settled, difference, evidence }: Row,
  frames: readonly SetFrame[],
  among: Drift['frames'][number]['among'],
): Drift['frames'][number] {
  const { id, measurement } = frames[index]!;
  const { swatches } = measurement.colour;
  // What a cast of one standard uncertainty would do to this cloth.
  const doubt = { redGreen: settled.sigma, blueGreen: -settled.sigma };
  return {
    frame: id,
    ...difference,
    deltaE00: clothDifference(swatches, settled),
    sigmaDeltaE00: clothDifference(swatches, doubt),
    evidence,
    among,
  };
}

/**
 * Drift of each frame of a garment against its set: every pair of frames is compared by the colours both of them show
 * (`drift/pair.ts`), and the pairs are settled into one place for each frame (`drift/settle.ts`). Ratios of linear light, so exposure is divided out.
 *
 * Flash frames and natural-light frames have references of their own where there are enough of each; the two are then compared with each other.
 */
export function measureDrift(frames: readonly SetFrame[]): Drift {
  const prepared = frames.map(({ measurement }) => comparable(measurement.colour));
  const comparisons = frames.length < fewestFrames ? [] : allPairs(prepared);
  const flash = indicesOf(frames, true);
  const natural = indicesOf(frames, false);
  const apart = flash.length >= fewestFrames && natural.length >= fewestFrames;
  const all = place(comparisons, [...frames.keys()]);
  const rows = apart
    ? [
        ...place(comparisons, flash).map((row) => driftRow(row, frames, 'flash')),
        ...place(comparisons, natural).map((row) => driftRow(row, frames, 'natural')),
      ]
    : all.map((row) => driftRow(row, frames, 'all'));
  const order = new Map(frames.map(({ id }, index) => [id, index]));
  rows.sort((a, b) => order.get(a.frame)! - order.get(b.frame)!);
  const reference = rows.length === 0 ? null : referenceOf(frames, all);
  if (reference === null) return { reference: null, worst: null, frames: [], flashAgainstNatural: null };
  const worst = rows.reduce((most, row) => (Math.abs(row.mired) > Math.abs(most.mired) ? row : most));
  return {
    reference,
    worst: { frame: worst.frame, mired: worst.mired, duv: worst.duv, deltaE00: worst.deltaE00 },
    frames: rows,
    flashAgainstNatural: apart ? between(all, flash, natural) : null,
  };
}

function indicesOf(frames: readonly SetFrame[], flash: boolean): number[] {
  return [...frames.keys()].filter(
    (index) => (frames[index]!.measurement.capture.flashFired === true) === flash,
  );
}

function allPairs(prepared: readonly Comparable[]): EvidencedComparison[] {
  return prepared.flatMap((_, a) =>
    prepared.flatMap((__, b) => (b > a ? (compare(prepared, a, b) ?? []) : [])),
  );
}

/** The light of the set's middle: what each frame tells of its own light less its drift, by the best evidence that any frame holds. */
function referenceOf(frames: readonly SetFrame[], rows: readonly Row[]): Drift['reference'] {
  const told = rows.flatMap(({ index, difference }) => {
    const { mired, duv, reference } = frames[index]!.measurement.colour;
    if (mired === null || duv === null || reference === null) return [];
    return [{ mired: mired - difference.mired, duv: duv - difference.duv, evidence: reference }];
  });
  const evidence = colourEvidence.find((kind) => told.some((each) => each.evidence === kind));
  if (evidence === undefined) return null;
  const best = told.filter((each) => each.evidence === evidence);
  return {
    cctK: 1e6 / median(best.map(({ mired }) => mired)),
    duv: median(best.map(({ duv }) => duv)),
    evidence,
  };
}

/** Median place of the flash frames less that of the natural-light frames, all of them placed together. */
function between(
  all: readonly Row[],
  flash: readonly number[],
  natural: readonly number[],
): Drift['flashAgainstNatural'] {
  const [lit, unlit] = [flash, natural].map((group) => all.filter(({ index }) => group.includes(index)));
  if (!lit?.length || !unlit?.length) return null;
  const middle = (rows: readonly Row[], part: 'redGreen' | 'blueGreen' | 'sigma') =>
    median(rows.map(({ settled }) => settled[part]));
  return inMired(
    {
      redGreen: middle(lit, 'redGreen') - middle(unlit, 'redGreen'),
      blueGreen: middle(lit, 'blueGreen') - middle(unlit, 'blueGreen'),
    },
    Math.hypot(middle(lit, 'sigma'), middle(unlit, 'sigma')),
  );
}
