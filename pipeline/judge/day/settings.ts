import type { SettingFault } from '../../contracts/day.ts';
import type { Finding } from '../../contracts/finding.ts';
import type { Capture } from '../../contracts/measurement/file.ts';
import type { FrameResult } from '../../contracts/results.ts';
import { bodyOf } from '../../contracts/wall-clock.ts';
import { wilsonInterval } from '../../numeric/proportion.ts';

/** Which settings of the camera went with which faults. Nothing is said that chance could say as well. */

/** Below this many frames even 0 of n leaves an interval up to 43 % (Wilson), so a value says nothing. */
const fewestTrials = 5;

interface Setting {
  readonly name: string;
  /** What the frame was taken with: a value to sort by and its words; `null` where the file does not say. */
  readonly of: (capture: Capture) => readonly [order: number | string, words: string] | null;
}

/** Nearest whole stop: cameras step in thirds, and thirds would scatter the frames over too many values. */
const stop = (value: number): number => Math.round(Math.log2(value));

/** Names of the whole stops from 1 s to 1/8000 s (ISO 516:2019, nominal exposure times; from memory). */
const shutterStops = [1, 2, 4, 8, 15, 30, 60, 125, 250, 500, 1000, 2000, 4000, 8000];

const settings: readonly Setting[] = [
  {
    name: 'aperture',
    of: ({ fNumber }) => (fNumber === null ? null : [fNumber, `f/${Math.round(fNumber * 10) / 10}`]),
  },
  {
    name: 'shutter',
    of: ({ exposureTimeS }) => {
      if (exposureTimeS === null) return null;
      const s = stop(exposureTimeS);
      const nominal = shutterStops[-s] ?? 2 ** -s;
      return [s, s < 0 ? `about 1/${nominal} s` : `about ${2 ** s} s`];
    },
  },
  {
    name: 'ISO',
    of: ({ iso }) => (iso === null ? null : [stop(iso / 100), `about ISO ${100 * 2 ** stop(iso / 100)}`]),
  },
  {
    name: 'flash',
    of: ({ flashFired }) =>
      flashFired === null ? null : [Number(flashFired), flashFired ? 'flash' : 'natural light'],
  },
  { name: 'body', of: (capture) => [bodyOf(capture), bodyOf(capture)] },
];

/** A departure that was measured, whatever a person decided about it later: the camera did it all the same. */
const isFault = ({ severity }: Finding): boolean => severity === 'cleanup' || severity === 'reject';

/** What a check looked at: a frame that does not show the eyes says nothing about soft eyes. */
function couldFail({ measurement, findings }: FrameResult, check: string): boolean {
  if (measurement === null) return false;
  if (findings.some((finding) => finding.check === check && finding.severity === 'unmeasured')) return false;
  const part = /^soft-(eyes|face|garment)$/.exec(check)?.[1] as 'eyes' | 'face' | 'garment' | undefined;
  return part === undefined || measurement.sharpness[part] !== null;
}

type Value = ReturnType<Setting['of']>;

/**
 * @param values the setting of each frame.
 * @param failed whether each frame failed the check; `null` where it could not have.
 */
function rowsOf(values: readonly Value[], failed: readonly (boolean | null)[]): SettingFault['rows'] {
  const rows = new Map<string, { order: number | string; failures: number; trials: number }>();
  for (const [index, value] of values.entries()) {
    const fails = failed[index] ?? null;
    if (value === null || fails === null) continue;
    const row = rows.get(value[1]) ?? { order: value[0], failures: 0, trials: 0 };
    row.trials += 1;
    if (fails) row.failures += 1;
    rows.set(value[1], row);
  }
  return [...rows]
    .filter(([, { trials }]) => trials >= fewestTrials)
    .sort(([, a], [, b]) => (a.order < b.order ? -1 : 1))
    .map(([value, { failures, trials }]) => {
      const { low, high } = wilsonInterval(failures, trials)!;
      return { value, failures, trials, low, high };
    });
}

/** Two values differ for certain enough where their intervals do not meet. */
function isTelling(rows: SettingFault['rows']): boolean {
  return rows.some((a) => rows.some((b) => a.low > b.high));
}

/** @param frames all frames of the day. */
export function settingsAgainstFaults(frames: readonly FrameResult[]): SettingFault[] {
  const checks = [
    ...new Set(frames.flatMap(({ findings }) => findings.filter(isFault).map(({ check }) => check))),
  ];
  const found = settings.map(({ name, of }) => ({
    name,
    values: frames.map(({ measurement }) => measurement && of(measurement.capture)),
  }));
  return checks
    .sort()
    .flatMap((check) => {
      const failed = frames.map((frame) =>
        couldFail(frame, check)
          ? frame.findings.some((finding) => finding.check === check && isFault(finding))
          : null,
      );
      return found.map(({ name, values }) => ({ setting: name, check, rows: rowsOf(values, failed) }));
    })
    .filter(({ rows }) => isTelling(rows));
}
