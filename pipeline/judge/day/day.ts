import type { Day } from '../../contracts/day.ts';
import type { FrameResult } from '../../contracts/results.ts';
import { settingsAgainstFaults } from './settings.ts';
import { type ClockShifts, timeLine } from './time-line.ts';

/** The shoot day as its frames tell it. Pure. */
export function dayOf(frames: readonly FrameResult[], shifts: ClockShifts = {}): Day {
  return { ...timeLine(frames, shifts), settings: settingsAgainstFaults(frames) };
}
