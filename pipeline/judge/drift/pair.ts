import { densityAt, type Field, type Vector } from './field.ts';
import { affinity, type Palette, type PlacedMark } from './palette.ts';

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

/** A mark with the density of the other frame in which its colour is looked up. */
interface Sought extends PlacedMark {
  readonly field: Field;
}

/** The marks whose colour the other frame may hold. */
function sought(marks: readonly PlacedMark[], other: Palette): readonly Sought[] {
  return marks.flatMap((mark) => {
    const field = other.fieldFor(mark.place);
    return field === null ? [] : [{ ...mark, field }];
  });
}

/** How much colour the two frames have in common under a shift, less where it takes a large change of exposure. */
function overlap(marks: readonly Sought[], shift: Vector): number {
  let sum = 0;
  for (const { field, at, weight } of marks)
    sum += weight * densityAt(field, at[0] - shift[0], at[1] - shift[1], at[2] - shift[2]);
  return sum * Math.exp(-0.5 * (shift[2] / exposureSigma) ** 2);
}

/**
 * Share of the frame's colours that the other one holds too, however much of each.
 * @param marks all of the frame's.
 */
function covered(marks: readonly PlacedMark[], found: readonly Sought[], shift: Vector): number {
  let sum = 0;
  for (const { field, at, weight } of found) {
    const density = densityAt(field, at[0] - shift[0], at[1] - shift[1], at[2] - shift[2]);
    sum += (weight * density) / (density + halfFound);
  }
  return sum / marks.reduce((total, { weight }) => total + weight, 0);
}

/** The most frequent differences of the coarse colours, and none at all. */
function likelyShifts(a: Palette, b: Palette): Vector[] {
  const votes = new Float64Array(voteSide * voteSide);
  for (const one of a.coarse) {
    for (const other of b.coarse) {
      const kinship = affinity(one.place, other.place);
      if (kinship === 0) continue;
      const column = Math.round((one.at[0] - other.at[0]) / voteStep) + voteReach;
      const row = Math.round((one.at[1] - other.at[1]) / voteStep) + voteReach;
      if (column < 0 || row < 0 || column >= voteSide || row >= voteSide) continue;
      const exposure = (one.at[2] - other.at[2]) / exposureSigma;
      votes[row * voteSide + column]! += kinship * one.weight * other.weight * Math.exp(-(exposure ** 2) / 4);
    }
  }
  const smooth = spread(votes);
  const peaks = [...smooth.keys()].filter((at) => isPeak(smooth, at)).sort((p, q) => smooth[q]! - smooth[p]!);
  const shiftOf = (at: number): Vector => [
    ((at % voteSide) - voteReach) * voteStep,
    (Math.floor(at / voteSide) - voteReach) * voteStep,
    0,
  ];
  return [[0, 0, 0], ...peaks.slice(0, starts).map(shiftOf)];
}

const neighbours = [-voteSide - 1, -voteSide, -voteSide + 1, -1, 1, voteSide - 1, voteSide, voteSide + 1];

function spread(votes: Float64Array): Float64Array {
  return votes.map((own, at) => neighbours.reduce((sum, by) => sum + 0.5 * (votes[at + by] ?? 0), own));
}

const isPeak = (votes: Float64Array, at: number): boolean =>
  votes[at]! > 0 &&
  neighbours.every((by) =>
    by < 0 ? votes[at]! >= (votes[at + by] ?? 0) : votes[at]! > (votes[at + by] ?? 0),
  );

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
    const [ab, ba] = [covered(a.marks, inB, shift), covered(b.marks, inA, negative(shift))];
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
