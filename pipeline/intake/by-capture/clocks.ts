import { groupBy } from '../../numeric/group-by.ts';
import { bordersOf, gapsOf, runsOf } from './gaps.ts';
import { inTime, median, minuteMs, type TimedShot } from './shots.ts';

/** Two bodies of one shoot whose clocks differ: how far, found from what both photographed or from when both were busy. */

export type ClockSource = 'reference' | 'given' | 'tags' | 'interleaving' | 'unknown';

export interface ClockShift {
  readonly body: string;
  /** Added to the body's clock to bring it to the reference body's, ms. */
  readonly shiftMs: number;
  readonly from: ClockSource;
}

/** Clocks further apart are another day's: zones reach 14 h from UTC, and two of them 26 h from each other. */
const furthestMs = 26 * 60 * minuteMs;
/** Both bodies photograph one tag within a garment's minutes; pairs that differ more from the median are not of one moment. */
const tagSpreadMs = 5 * minuteMs;
/** Fewer bursts of a body have no pattern that only one shift fits. */
const fewestBursts = 4;
/** Shifts nearer to the best one than this are the same answer: less than half a change. */
const sameAnswerMs = 2 * minuteMs;
/**
 * The second-best answer must leave the bodies apart for longer, by this factor and by this much. From simulated days with 25
 * garments (tests/helpers/shoot-day.ts, seeds that no test uses): below it wrong answers begin.
 */
const clearFactor = 1.15;
const clearMs = 5 * minuteMs;
/** Steps in which the answer is refined, and how many to either side: two minutes. */
const refineMs = 5000;
const refineSteps = 24;

function shiftByTags(reference: readonly TimedShot[], other: readonly TimedShot[]): number | null {
  const firstOf = (shots: readonly TimedShot[]): ReadonlyMap<string, number> => {
    const found = new Map<string, number>();
    for (const { tag, ms } of inTime(shots)) if (tag !== null && !found.has(tag)) found.set(tag, ms);
    return found;
  };
  const [here, there] = [firstOf(reference), firstOf(other)];
  const differences = [...there].flatMap(([tag, ms]) => {
    const at = here.get(tag);
    return at === undefined ? [] : [at - ms];
  });
  if (differences.length === 0) return null;
  const middle = median(differences);
  return median(differences.filter((difference) => Math.abs(difference - middle) <= tagSpreadMs));
}

/** Start and end of the times a body was busy, ms. */
type Burst = readonly [from: number, to: number];

function burstsOf(shots: readonly TimedShot[]): readonly Burst[] {
  return runsOf(shots, bordersOf(gapsOf(shots))).map(({ shots: own }) => [own[0]!.ms, own.at(-1)!.ms]);
}

/** Room that a burst leaves on either side: the model is turned and looked at before and after the first and last frame. */
const roomMs = minuteMs;

/** Length of the time in which at least one body was busy, ms. @param bursts in any order. */
function busyMs(bursts: readonly Burst[]): number {
  let [total, until] = [0, Number.NEGATIVE_INFINITY];
  for (const [from, to] of [...bursts].sort((a, b) => a[0] - b[0])) {
    const start = Math.max(from - roomMs, until);
    const end = to + roomMs;
    if (end <= start) continue;
    total += end - start;
    until = end;
  }
  return total;
}

const moved = (bursts: readonly Burst[], byMs: number): readonly Burst[] =>
  bursts.map(([from, to]): Burst => [from + byMs, to + byMs]);

/**
 * The shift with which the two bodies are busy together most: the union of their bursts is shortest. Every pair of bursts
 * proposes one; a shift by a whole garment fits worse, as garments never take the same time.
 */
function shiftByInterleaving(reference: readonly TimedShot[], other: readonly TimedShot[]): number | null {
  const [here, there] = [burstsOf(reference), burstsOf(other)];
  if (here.length < fewestBursts || there.length < fewestBursts) return null;
  const least = Math.max(busyMs(here), busyMs(there));
  const excess = (shiftMs: number): number => busyMs([...here, ...moved(there, shiftMs)]) - least;
  const fits = here
    .flatMap(([from, to]) => there.map(([start, end]) => (from + to - start - end) / 2))
    .filter((shiftMs) => Math.abs(shiftMs) <= furthestMs)
    .map((shiftMs) => ({ shiftMs, excess: excess(shiftMs) }))
    .sort((a, b) => a.excess - b.excess);
  const best = fits[0];
  if (best === undefined) return null;
  const next = fits.find(({ shiftMs }) => Math.abs(shiftMs - best.shiftMs) > sameAnswerMs);
  if (next !== undefined && next.excess < clearFactor * best.excess + clearMs) return null;
  return refined(best.shiftMs, excess);
}

/** The middle of all shifts about the first answer that fit best: short bursts may lie anywhere in longer ones. */
function refined(shiftMs: number, excess: (shiftMs: number) => number): number {
  const tried = Array.from({ length: 2 * refineSteps + 1 }, (_, n) => {
    const at = shiftMs + (n - refineSteps) * refineMs;
    return { at, excess: excess(at) };
  });
  const least = Math.min(...tried.map((one) => one.excess));
  return median(tried.filter((one) => one.excess <= least + refineMs).map(({ at }) => at));
}

/**
 * The shift of every body against the one with the most frames.
 * @param given body to shift, ms, where a person says it.
 */
export function clockShifts(
  shots: readonly TimedShot[],
  given: ReadonlyMap<string, number> = new Map(),
): readonly ClockShift[] {
  const byBody = [...groupBy(shots, ({ body }) => body)].sort(
    ([a, one], [b, two]) => two.length - one.length || (a < b ? -1 : 1),
  );
  // A clock that a person corrected is right after that, not before: another body sets the time where there is one.
  const base = byBody.find(([body]) => !given.has(body));
  const reference = base?.[1] ?? [];
  return byBody.map(([body, own]): ClockShift => {
    const said = given.get(body);
    if (said !== undefined) return { body, shiftMs: said, from: 'given' };
    if (body === base?.[0]) return { body, shiftMs: 0, from: 'reference' };
    const tags = shiftByTags(reference, own);
    if (tags !== null) return { body, shiftMs: tags, from: 'tags' };
    const interleaving = shiftByInterleaving(reference, own);
    if (interleaving !== null) return { body, shiftMs: interleaving, from: 'interleaving' };
    return { body, shiftMs: 0, from: 'unknown' };
  });
}
