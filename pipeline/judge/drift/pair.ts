import { densityAt, type Field, type Vector } from './field.ts';
import { affinities, type Marks, type Palette } from './palette.ts';

/** By which vector the colours of one frame lie from those of another, and how well they then cover each other. */
export interface PairShift {
  readonly shift: Vector;
  /** 0..1: how much of the frame that shows less finds its colours in the other one. */
  readonly cover: number;
}

/** Votes for shifts are counted in squares of this side, up to this many squares from none: 0.05 in log ratio is 5 mired, so 100 mired. */
const voteStep = 0.05;
const voteReach = 20;
const voteSide = 2 * voteReach + 1;
const starts = 4;
/** Frames of a set are exposed alike: standard deviation of half a stop, in natural logarithms. */
const exposureSigma = 0.35;
/** Lights of a set are alike: large shifts need more evidence; standard deviation in log ratio, about 40 mired. */
const lightSigma = 0.45;
/** How much these two expectations count against the cover. */
const priorWeight = 0.1;
/** Density at which a colour counts as half found. */
const halfFound = 0.004;
/** Two peaks closer than this are one. */
const apart = 0.02;

/** Marks with the density of the other frame in which each colour is looked up; `null` where it can hold none like it. */
interface Sought extends Marks {
  readonly fields: readonly (Field | null)[];
}

const sought = (marks: Marks, other: Palette): Sought => ({
  ...marks,
  fields: marks.places.map((place) => other.fieldFor(place)),
});

/** How much colour the two frames have in common under a shift, less where it takes a large change of exposure. */
function overlap({ reds, blues, greens, weights, fields }: Sought, [red, blue, green]: Vector): number {
  let sum = 0;
  for (let i = 0; i < fields.length; i += 1) {
    const field = fields[i]!;
    if (field !== null)
      sum += weights[i]! * densityAt(field, reds[i]! - red, blues[i]! - blue, greens[i]! - green);
  }
  return sum * Math.exp(-0.5 * (green / exposureSigma) ** 2);
}

/** Share of the frame's colours that the other one holds too, however much of each. */
function covered({ reds, blues, greens, weights, fields }: Sought, [red, blue, green]: Vector): number {
  let [sum, total] = [0, 0];
  for (let i = 0; i < fields.length; i += 1) {
    total += weights[i]!;
    const field = fields[i]!;
    if (field === null) continue;
    const density = densityAt(field, reds[i]! - red, blues[i]! - blue, greens[i]! - green);
    sum += (weights[i]! * density) / (density + halfFound);
  }
  return sum / total;
}

/** The most frequent differences of the coarse colours, and none at all. */
function likelyShifts(a: Palette, b: Palette): Vector[] {
  const votes = new Float64Array(padded);
  const [from, to] = [a.coarse, b.coarse];
  for (let one = 0; one < from.places.length; one += 1) {
    const kinships = affinities[from.places[one]!];
    for (let other = 0; other < to.places.length; other += 1) {
      const kinship = kinships[to.places[other]!];
      if (kinship === 0) continue;
      const column = Math.round((from.reds[one]! - to.reds[other]!) / voteStep) + voteReach;
      const row = Math.round((from.blues[one]! - to.blues[other]!) / voteStep) + voteReach;
      if (column < 0 || row < 0 || column >= voteSide || row >= voteSide) continue;
      const exposure = (from.greens[one]! - to.greens[other]!) / exposureSigma;
      votes[padding + row * voteSide + column]! +=
        kinship * from.weights[one]! * to.weights[other]! * Math.exp(-(exposure ** 2) / 4);
    }
  }
  const smooth = spread(votes);
  const peaks: number[] = [];
  for (let at = padding; at < padded - padding; at += 1) if (isPeak(smooth, at)) peaks.push(at);
  peaks.sort((p, q) => smooth[q]! - smooth[p]!);
  const shiftOf = (at: number): Vector => [
    (((at - padding) % voteSide) - voteReach) * voteStep,
    (Math.floor((at - padding) / voteSide) - voteReach) * voteStep,
    0,
  ];
  return [[0, 0, 0], ...peaks.slice(0, starts).map(shiftOf)];
}

/** Empty squares before and after the votes, so that each has all its neighbours. */
const padding = voteSide + 1;
const padded = voteSide * voteSide + 2 * padding;
const earlier = [-voteSide - 1, -voteSide, -voteSide + 1, -1] as const;
const later = [1, voteSide - 1, voteSide, voteSide + 1] as const;
const neighbours = [...earlier, ...later] as const;

function spread(votes: Float64Array): Float64Array {
  const smooth = new Float64Array(padded);
  for (let at = padding; at < padded - padding; at += 1) {
    let sum = votes[at]!;
    for (const by of neighbours) sum += 0.5 * votes[at + by]!;
    smooth[at] = sum;
  }
  return smooth;
}

/** Of equal neighbours the later one. */
function isPeak(votes: Float64Array, at: number): boolean {
  const own = votes[at]!;
  return (
    own > 0 && earlier.every((by) => own >= votes[at + by]!) && later.every((by) => own > votes[at + by]!)
  );
}

const directions: readonly Vector[] = [
  [1, -1, 0],
  [-1, 1, 0],
  [1, 0, 0],
  [-1, 0, 0],
  [0, 1, 0],
  [0, -1, 0],
  [0, 0, 1],
  [0, 0, -1],
];

/** Pattern search uphill from `start` with steps from `coarsest` to `finest` in log ratio (exposure moves by six times as much). */
function climb(
  height: (at: Vector) => number,
  start: Vector,
  coarsest: number,
  finest: number,
): { at: Vector; height: number } {
  let at = start;
  let best = height(at);
  for (let step = coarsest; step >= finest; step /= 2) {
    let moved = true;
    while (moved) {
      moved = false;
      for (const [red, blue, green] of directions) {
        const next: Vector = [at[0] + red * step, at[1] + blue * step, at[2] + 6 * green * step];
        const there = height(next);
        if (there > best) {
          [at, best, moved] = [next, there, true];
          break;
        }
      }
    }
  }
  return { at, height: best };
}

const negative = ([r, b, g]: Vector): Vector => [-r, -b, -g];

/** Half width of the parabola laid through a peak: about the smoothing, so that the grid of the field does not show. */
const peakReach = 0.02;

/** The peak along both ratios, by the parabola through the logarithms of three heights (exact for a Gaussian). */
function peak(height: (at: Vector) => number, near: Vector): Vector {
  const middle = Math.log(height(near));
  const offset = (axis: 0 | 1): number => {
    const beside = (by: number): number =>
      Math.log(height(axis === 0 ? [near[0] + by, near[1], near[2]] : [near[0], near[1] + by, near[2]]));
    const [before, after] = [beside(-peakReach), beside(peakReach)];
    const bend = before + after - 2 * middle;
    const by = ((before - after) / 2 / bend) * peakReach;
    return bend < 0 && Math.abs(by) <= peakReach ? by : 0;
  };
  return [near[0] + offset(0), near[1] + offset(1), near[2]];
}

/** `null` where the two frames have no surface in common that could be compared. */
export function shiftBetween(a: Palette, b: Palette): PairShift | null {
  const coarse = sought(a.coarse, b);
  const inB = sought(a.marks, b);
  const inA = sought(b.marks, a);
  const rough: Vector[] = [];
  for (const start of likelyShifts(a, b)) {
    const { at, height } = climb((shift) => overlap(coarse, shift), start, 0.02, 0.005);
    if (height > 0 && !rough.some((known) => distance(known, at) < apart)) rough.push(at);
  }
  const modes = rough.map((start) => {
    const height = (at: Vector): number => overlap(inB, at);
    const shift = peak(height, climb(height, start, 0.01, 0.0025).at);
    const [ab, ba] = [covered(inB, shift), covered(inA, negative(shift))];
    const unlikely = (shift[0] ** 2 + shift[1] ** 2) / lightSigma ** 2 + shift[2] ** 2 / exposureSigma ** 2;
    return {
      shift,
      cover: Math.max(ab, ba),
      score: Math.max(ab, ba) + 0.3 * Math.min(ab, ba) - (priorWeight / 2) * unlikely,
    };
  });
  modes.sort((p, q) => q.score - p.score);
  return modes[0] ?? null;
}

const distance = (p: Vector, q: Vector): number => Math.hypot(p[0] - q[0], p[1] - q[1]);
