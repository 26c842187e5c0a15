import { inTime, minuteMs, type TimedShot } from './shots.ts';

/** Where one garment ends and the next begins, from the gaps in capture time alone. */

/** Nobody changes a garment faster: a change takes about five minutes (common practice). */
const shortestChangeMs = minuteMs;
/** No pause inside one garment is longer: its whole plan is fifteen minutes (common practice). */
const longestPauseMs = 15 * minuteMs;
/** An empty stretch this nearly as wide as the widest, as a share of its ratio, could be the border as well. */
const asGoodShare = 0.8;

interface Borders {
  /** Longer gaps are changes, ms. */
  readonly changeMs: number;
  /** Gaps between these two could be either, ms; both are `changeMs` where it is clear. */
  readonly unsureFromMs: number;
  readonly unsureToMs: number;
}

/**
 * The border between pauses and changes: the middle of the widest empty stretch in the gaps' lengths, taken as ratios, between
 * the two limits above. Gaps come in two kinds, seconds to a few minutes and a change's many minutes, and few lie in between.
 */
export function bordersOf(gapsMs: readonly number[]): Borders {
  const between = gapsMs
    .filter((gap) => gap > shortestChangeMs && gap < longestPauseMs)
    .sort((a, b) => a - b);
  const marks = [shortestChangeMs, ...between, longestPauseMs];
  const stretches = marks.slice(1).map((to, index) => {
    const from = marks[index]!;
    return { ratio: to / from, border: Math.sqrt(to * from) };
  });
  const widest = stretches.reduce((best, one) => (one.ratio > best.ratio ? one : best));
  const asGood = stretches.filter(({ ratio }) => ratio >= asGoodShare * widest.ratio && ratio > 1);
  return {
    changeMs: widest.border,
    unsureFromMs: Math.min(widest.border, ...asGood.map(({ border }) => border)),
    unsureToMs: Math.max(widest.border, ...asGood.map(({ border }) => border)),
  };
}

export interface Run {
  readonly shots: readonly TimedShot[];
  /** The gap before it that could be a pause as well as a change, ms; `null` where it is clear. */
  readonly unsureGapMs: number | null;
  /** The longest pause inside that could be a change, ms; `null` where none could. */
  readonly unsurePauseMs: number | null;
}

/** Shots in runs without a change in between. @param shots clocks brought together; in any order. */
export function runsOf(shots: readonly TimedShot[], borders: Borders): readonly Run[] {
  const runs: { shots: TimedShot[]; unsureGapMs: number | null; unsurePauseMs: number | null }[] = [];
  let before: TimedShot | null = null;
  for (const shot of inTime(shots)) {
    const gapMs: number = before === null ? Number.POSITIVE_INFINITY : shot.ms - before.ms;
    const unsure = gapMs > borders.unsureFromMs && gapMs < borders.unsureToMs ? gapMs : null;
    const run = runs.at(-1);
    if (run === undefined || gapMs > borders.changeMs)
      runs.push({ shots: [shot], unsureGapMs: unsure, unsurePauseMs: null });
    else {
      run.shots.push(shot);
      if (unsure !== null) run.unsurePauseMs = Math.max(run.unsurePauseMs ?? 0, unsure);
    }
    before = shot;
  }
  return runs;
}

export function gapsOf(shots: readonly TimedShot[]): readonly number[] {
  const sorted = inTime(shots);
  return sorted.slice(1).map((shot, index) => shot.ms - sorted[index]!.ms);
}
