import { naturalOrder } from '../natural-order.ts';
import { type ClockShift, clockShifts } from './clocks.ts';
import { bordersOf, gapsOf, type Run, runsOf } from './gaps.ts';
import { inTime, isTimed, minuteMs, type Shot, type TimedShot } from './shots.ts';

/** A flat day of frames into garments: by the tag photographed at the start of each, else by the gaps in capture time. */

interface CapturedGarment {
  /** The tag's text; `garment-07` (the seventh of the day) where none was photographed. */
  readonly id: string;
  /** In order of time. */
  readonly frames: readonly string[];
  /** Why the frames may not belong together as they stand; `null` where it is clear. */
  readonly unsure: string | null;
}

export interface Grouped {
  readonly garments: readonly CapturedGarment[];
  /** Frames that show a tag: they name a garment and are not delivered. */
  readonly tags: readonly string[];
  readonly clocks: readonly ClockShift[];
}

interface Part {
  readonly tag: string | null;
  readonly shots: readonly TimedShot[];
  readonly unsure: string | null;
}

/** Both bodies begin at a tag: frames taken within this before it still belong to it. */
const tagLeadMs = 0.5 * minuteMs;
/** The same for the other body where its clock is known from interleaving only, which is off by up to two minutes. */
const otherBodyLeadMs = 3 * minuteMs;

const inMinutes = (ms: number): string => `${Math.round(ms / 6000) / 10} min`;

function leads(before: readonly TimedShot[], tagged: TimedShot, loose: boolean): boolean {
  const ms = tagged.ms - before[0]!.ms;
  return (
    ms <= tagLeadMs || (loose && ms <= otherBodyLeadMs && before.every(({ body }) => body !== tagged.body))
  );
}

/** A run without a change in it, cut where a new tag was photographed. */
function partsOf({ shots, unsureGapMs, unsurePauseMs }: Run, loose: boolean): readonly Part[] {
  const words = (where: string, ms: number): string =>
    `a gap ${where} it, ${inMinutes(ms)}, could be a pause as well as a change of garment`;
  const unsure =
    unsureGapMs !== null
      ? words('before', unsureGapMs)
      : unsurePauseMs !== null
        ? words('in', unsurePauseMs)
        : null;
  const parts: { tag: string | null; shots: TimedShot[]; unsure: string | null }[] = [];
  for (const shot of shots) {
    const last = parts.at(-1);
    if (last === undefined) parts.push({ tag: shot.tag, shots: [shot], unsure });
    else if (shot.tag === null || shot.tag === last.tag) last.shots.push(shot);
    else if (last.tag === null && leads(last.shots, shot, loose)) {
      last.tag = shot.tag;
      last.shots.push(shot);
    } else parts.push({ tag: shot.tag, shots: [shot], unsure: null });
  }
  return parts;
}

/**
 * A run after a pause that could be a change, without a tag of its own, in a day where tags are used: the tag before it still
 * holds, unless the gap is clearly a change, after which a tag was forgotten.
 */
function joined(parts: readonly Part[]): readonly Part[] {
  const done: Part[] = [];
  for (const part of parts) {
    const before = done.at(-1);
    if (part.tag === null && part.unsure?.startsWith('a gap before') && before?.tag) {
      done[done.length - 1] = {
        tag: before.tag,
        shots: [...before.shots, ...part.shots],
        unsure: part.unsure.replace('before', 'in'),
      };
    } else done.push(part);
  }
  return done;
}

function named(parts: readonly Part[]): readonly CapturedGarment[] {
  const garments = new Map<string, { frames: string[]; unsure: string | null }>();
  parts.forEach((part, index) => {
    const id = part.tag ?? `garment-${String(index + 1).padStart(2, '0')}`;
    // A tag photographed again later in the day: the garment was taken up once more.
    const garment = garments.get(id) ?? { frames: [], unsure: part.unsure };
    garment.frames.push(...part.shots.filter(({ tag }) => tag === null).map((shot) => shot.id));
    garments.set(id, garment);
  });
  return [...garments].map(([id, garment]) => ({ id, ...garment }));
}

/** Where a frame without a time goes: to the frames beside it in the order of names, if those of the same folder agree. */
function placeUntimed(
  untimed: readonly Shot[],
  all: readonly Shot[],
  garments: readonly CapturedGarment[],
): readonly CapturedGarment[] {
  if (untimed.length === 0) return garments;
  const garmentOf = new Map(garments.flatMap(({ id, frames }) => frames.map((frame) => [frame, id])));
  const order = [...all].map(({ id }) => id).sort(naturalOrder);
  const missing = new Set(untimed.map(({ id }) => id));
  const beside = (at: number, step: number): string | undefined => {
    for (let next = at + step; next >= 0 && next < order.length; next += step)
      if (garmentOf.has(order[next]!)) return garmentOf.get(order[next]!);
    return undefined;
  };
  const added = new Map<string, string[]>();
  const lost: string[] = [];
  order.forEach((id, at) => {
    if (!missing.has(id)) return;
    const [before, after] = [beside(at, -1), beside(at, 1)];
    const garment =
      before === after || after === undefined ? before : before === undefined ? after : undefined;
    if (garment === undefined) lost.push(id);
    else added.set(garment, [...(added.get(garment) ?? []), id]);
  });
  const placed = garments.map((garment) => {
    const own = added.get(garment.id) ?? [];
    const why = `${own.length === 1 ? 'one frame carries' : `${own.length} frames carry`} no capture time and went by the order of names`;
    return own.length === 0
      ? garment
      : { ...garment, frames: [...garment.frames, ...own], unsure: garment.unsure ?? why };
  });
  if (lost.length === 0) return placed;
  return [
    ...placed,
    {
      id: 'no-capture-time',
      frames: lost,
      unsure: 'these frames carry no capture time and lie between garments',
    },
  ];
}

/** Garments with frames of a body whose clock could not be brought to the others'. */
function doubtClocks(
  garments: readonly CapturedGarment[],
  shots: readonly Shot[],
  clocks: readonly ClockShift[],
): readonly CapturedGarment[] {
  const doubted = new Set(clocks.filter(({ from }) => from === 'unknown').map(({ body }) => body));
  if (doubted.size === 0) return garments;
  const bodyOf = new Map(shots.map(({ id, body }) => [id, body]));
  return garments.map((garment) => {
    const body = garment.frames.map((id) => bodyOf.get(id) ?? '').find((one) => doubted.has(one));
    if (body === undefined || garment.unsure !== null) return garment;
    return {
      ...garment,
      unsure: `it is not known how far the clock of ${body} is off; it was taken as right`,
    };
  });
}

/**
 * @param shots in any order.
 * @param given body to clock shift, ms, where a person says it.
 */
export function groupShots(shots: readonly Shot[], given: ReadonlyMap<string, number> = new Map()): Grouped {
  const timed = shots.filter(isTimed);
  const clocks = clockShifts(timed, given);
  const shiftOf = new Map(clocks.map(({ body, shiftMs }) => [body, shiftMs]));
  const together = inTime(timed.map((shot) => ({ ...shot, ms: shot.ms + (shiftOf.get(shot.body) ?? 0) })));
  const loose = clocks.some(({ from }) => from === 'interleaving');
  const runs = runsOf(together, bordersOf(gapsOf(together)));
  const garments = named(joined(runs.flatMap((run) => partsOf(run, loose))));
  const untimed = shots.filter((shot) => !isTimed(shot) && shot.tag === null);
  const placed = placeUntimed(untimed, shots, garments).filter(({ frames }) => frames.length > 0);
  return {
    garments: doubtClocks(placed, shots, clocks),
    tags: shots.filter(({ tag }) => tag !== null).map(({ id }) => id),
    clocks,
  };
}
