import { type Day, type GarmentTime, planMin } from '../../contracts/day.ts';
import type { FrameResult } from '../../contracts/results.ts';
import { bodyOf, wallClockMs, wallClockText } from '../../contracts/wall-clock.ts';
import { groupBy } from '../../numeric/group-by.ts';

/** Body to what is added to its clock, s. */
export type ClockShifts = Readonly<Record<string, number>>;

interface Shot {
  readonly frame: string;
  readonly garment: string;
  readonly body: string;
  readonly ms: number;
}

function shotsOf(frames: readonly FrameResult[], shifts: ClockShifts): readonly Shot[] {
  return frames
    .flatMap(({ id, garment, measurement }): Shot[] => {
      const ms = measurement && wallClockMs(measurement.capture.takenAt);
      if (!measurement || ms === null) return [];
      const body = bodyOf(measurement.capture);
      return [{ frame: id, garment, body, ms: ms + (shifts[body] ?? 0) * 1000 }];
    })
    .sort((a, b) => a.ms - b.ms);
}

/** To a tenth of a minute: cameras write whole seconds. */
const minutes = (ms: number): number => Math.round(ms / 6000) / 10;

function garmentTimes(shots: readonly Shot[]): readonly GarmentTime[] {
  const byGarment = groupBy(shots, ({ garment }) => garment);
  let before: number | null = null;
  return [...byGarment].map(([garment, own]) => {
    const [from, to] = [own[0]!.ms, own.at(-1)!.ms];
    const gap = before === null || before > from ? null : from - before;
    before = Math.max(before ?? to, to);
    return {
      garment,
      from: wallClockText(from),
      to: wallClockText(to),
      frames: own.length,
      shootMin: minutes(to - from),
      gapMin: gap === null ? null : minutes(gap),
      overPlanMin: gap === null ? null : minutes(gap + to - from - planMin * 60_000),
      shots: own.map(({ frame, ms, body }) => ({ frame, at: wallClockText(ms), body })),
    };
  });
}

function bodies(frames: readonly FrameResult[], shifts: ClockShifts): Day['bodies'] {
  const captures = frames.flatMap(({ measurement }) => (measurement ? [measurement.capture] : []));
  const byBody = groupBy(captures, bodyOf);
  return [...byBody]
    .map(([id, own]) => ({
      id,
      frames: own.length,
      flash: own.filter(({ flashFired }) => flashFired === true).length,
      natural: own.filter(({ flashFired }) => flashFired === false).length,
      clockShiftS: shifts[id] ?? 0,
    }))
    .sort((a, b) => (a.id < b.id ? -1 : 1));
}

/** When what was shot, by which body, and how long each garment took. */
export function timeLine(frames: readonly FrameResult[], shifts: ClockShifts): Omit<Day, 'settings'> {
  const shots = shotsOf(frames, shifts);
  return {
    bodies: bodies(frames, shifts),
    garments: [...garmentTimes(shots)],
    untimed: frames.length - shots.length,
  };
}
