import { describe, expect, it } from 'vitest';
import { daySchema } from '../../../pipeline/contracts/day.ts';
import type { Finding } from '../../../pipeline/contracts/finding.ts';
import type { Capture } from '../../../pipeline/contracts/measurement/file.ts';
import type { FrameResult } from '../../../pipeline/contracts/results.ts';
import { wallClockMs } from '../../../pipeline/contracts/wall-clock.ts';
import { dayOf } from '../../../pipeline/judge/day/day.ts';
import { aMeasurement, type Sections } from '../../helpers/measurement.ts';

const soft: Finding = {
  check: 'soft-eyes',
  severity: 'reject',
  title: 'Soft eyes',
  detail: '',
  value: 3,
  limit: 2,
  unit: 'px',
  source: '',
};

let made = 0;
function frame(
  garment: string,
  capture: Partial<Capture>,
  findings: Finding[] = [],
  over: Sections = {},
): FrameResult {
  made += 1;
  const measurement = aMeasurement({ capture, ...over });
  return { id: `${garment}/${made}.jpg`, garment, verdict: 'pass', findings, measurement };
}

describe('the time line', () => {
  const at = (time: string, serial = '1'): Partial<Capture> => ({
    takenAt: `2026-05-14T${time}`,
    make: 'Make',
    model: 'M',
    serial,
  });

  it('counts shooting and the gap before each garment against the plan of 15 minutes', () => {
    // Worked out by hand: coat 10:00:00 to 10:04:30; dress from 10:12:00 to 10:20:00, after a gap of 7.5 minutes.
    const day = dayOf([
      frame('dress', at('10:20:00')),
      frame('coat', at('10:00:00')),
      frame('coat', at('10:04:30')),
      frame('dress', at('10:12:00')),
      frame('dress', at('10:12:00'), []),
    ]);
    expect(daySchema.parse(day)).toEqual(day);
    expect(
      day.garments.map(({ garment, shootMin, gapMin, overPlanMin, frames }) => [
        garment,
        shootMin,
        gapMin,
        overPlanMin,
        frames,
      ]),
    ).toEqual([
      ['coat', 4.5, null, null, 2],
      ['dress', 8, 7.5, 0.5, 3],
    ]);
  });

  it('has no gap where garments overlap, and leaves out frames without a time, which it counts', () => {
    const day = dayOf([
      frame('coat', at('10:00:00')),
      frame('coat', at('10:30:00')),
      frame('dress', at('10:20:00')),
      frame('dress', { ...at('10:20:00'), takenAt: null }),
    ]);
    expect(day.garments[1]).toMatchObject({ gapMin: null, overPlanMin: null });
    expect(day.untimed).toBe(1);
  });

  it('brings the clocks of two bodies together, and says which was for flash', () => {
    const day = dayOf(
      [
        frame('coat', { ...at('10:00:00', '1'), flashFired: false }),
        frame('coat', { ...at('13:01:00', '2'), flashFired: true }),
      ],
      { 'Make M 2': -3 * 3600 },
    );
    expect(day.garments[0]?.shootMin).toBe(1);
    expect(day.bodies).toEqual([
      { id: 'Make M 1', frames: 1, flash: 0, natural: 1, clockShiftS: 0 },
      { id: 'Make M 2', frames: 1, flash: 1, natural: 0, clockShiftS: -10800 },
    ]);
  });

  it('reads the wall clock, whether or not the camera wrote its zone', () => {
    expect(wallClockMs('2026-05-14T10:00:00.50+02:00')).toBe(wallClockMs('2026-05-14T10:00:00.5'));
    expect(wallClockMs('2026-13-40T10:00:00')).toBeNull();
    expect(wallClockMs('soon')).toBeNull();
  });
});

describe('settings against faults', () => {
  const many = (n: number, capture: Partial<Capture>, failures: number, over: Sections = {}): FrameResult[] =>
    Array.from({ length: n }, (_, index) => frame('g', capture, index < failures ? [soft] : [], over));

  it('tells what is certain, with the interval', () => {
    const day = dayOf([...many(14, { fNumber: 1.8 }, 9), ...many(41, { fNumber: 2.8 }, 1)]);
    const aperture = day.settings.find(({ setting }) => setting === 'aperture');
    expect(aperture?.rows.map(({ value, failures, trials }) => [value, failures, trials])).toEqual([
      ['f/1.8', 9, 14],
      ['f/2.8', 1, 41],
    ]);
    // Wilson 95 % without continuity correction, 9 of 14 and 1 of 41: worked out from the formula with Python.
    expect(aperture?.rows[0]?.low).toBeCloseTo(0.388, 3);
    expect(aperture?.rows[0]?.high).toBeCloseTo(0.837, 3);
    expect(aperture?.rows[1]?.low).toBeCloseTo(0.0043, 4);
    expect(aperture?.rows[1]?.high).toBeCloseTo(0.126, 3);
  });

  it('is silent where chance would do as well, and where there are too few frames', () => {
    expect(dayOf([...many(14, { fNumber: 1.8 }, 5), ...many(14, { fNumber: 2.8 }, 3)]).settings).toEqual([]);
    expect(dayOf([...many(4, { fNumber: 1.8 }, 4), ...many(60, { fNumber: 2.8 }, 0)]).settings).toEqual([]);
  });

  it('counts only frames that could show the fault', () => {
    const noEyes: Sections = { sharpness: { eyes: null } };
    const day = dayOf([
      ...many(10, { fNumber: 1.8 }, 9),
      ...many(30, { fNumber: 2.8 }, 0),
      ...many(50, { fNumber: 2.8 }, 0, noEyes),
    ]);
    expect(day.settings[0]?.rows[1]).toMatchObject({ failures: 0, trials: 30 });
  });

  it('sets shutter and ISO side by side in whole stops', () => {
    const day = dayOf([
      ...many(10, { fNumber: 4, exposureTimeS: 1 / 60 }, 9),
      ...many(10, { fNumber: 4, exposureTimeS: 1 / 250 }, 0),
      ...many(10, { fNumber: 4, exposureTimeS: 1 / 200 }, 0),
    ]);
    expect(day.settings.find(({ setting }) => setting === 'shutter')?.rows).toMatchObject([
      { value: 'about 1/250 s', trials: 20 },
      { value: 'about 1/60 s', trials: 10 },
    ]);
  });
});
