import type { Finding } from '../../pipeline/contracts/finding.ts';
import type { Measurement } from '../../pipeline/contracts/measurement/measurement.ts';
import type { FrameResult, GarmentResult, Results } from '../../pipeline/contracts/results.ts';
import { dayOf } from '../../pipeline/judge/day/day.ts';
import { demoResults } from './demo-results.ts';
import { fakeMeasurement } from './fake-measurement.ts';

/** A day of many garments, every fourth of which needs work and every ninth a reshoot, with columns of the studio's own. */

const soft: Finding = {
  check: 'soft-eyes',
  severity: 'cleanup',
  title: 'Soft eyes',
  detail: 'Blur in the eyes is 1.6 px at delivery size, more than the 1.2 px limit.',
  value: 1.6,
  limit: 1.2,
  unit: 'px',
  source: 'common practice',
};

const noBack: Finding = {
  check: 'missing-view',
  severity: 'reject',
  title: 'No back view',
  detail: 'No usable frame shows the back. Shoot it again.',
  value: 0,
  limit: 1,
  unit: 'frames',
  source: 'common practice',
  frames: [],
};

/** A garment every 16 minutes, a frame every half minute, by two bodies in turn; every second frame of a garment wide open. */
function captureOf(g: number, f: number): Partial<Measurement['capture']> {
  const start = Date.UTC(2026, 4, 14, 9) + g * 16 * 60_000 + f * 30_000;
  return {
    takenAt: new Date(start).toISOString().slice(0, 19),
    make: 'Maker',
    model: 'M1',
    serial: String(f % 2),
    fNumber: f === 1 ? 1.8 : 2.8,
    exposureTimeS: 1 / 250,
    iso: 200,
    focalLengthMm: 85,
    flashFired: f % 2 === 1,
  };
}

function frame(
  id: string,
  garment: string,
  findings: Finding[],
  capture: Partial<Measurement['capture']>,
): FrameResult {
  const empty = fakeMeasurement(new TextEncoder().encode(id));
  return {
    id,
    garment,
    verdict: findings.length > 0 ? 'cleanup' : 'pass',
    findings,
    measurement: {
      ...empty,
      capture: { ...empty.capture, ...capture },
      sharpness: {
        ...empty.sharpness,
        eyes: { blurSigmaPx: 1, mtf50CyPx: 0.2, edges: 40, direction: null, kind: null },
      },
      pictures: [
        { file: 'frame.jpg', shows: 'frame', box: [0, 0, 1, 1], width: 600, height: 900 },
        { file: 'small.jpg', shows: 'small', box: [0, 0, 1, 1], width: 160, height: 240 },
      ],
    },
  };
}

export function largeDay(garments: number, framesEach: number): Results {
  const frames: FrameResult[] = [];
  const made = Array.from({ length: garments }, (_, g): GarmentResult => {
    const id = `style-${String(g + 1).padStart(3, '0')}`;
    const own = Array.from({ length: framesEach }, (_, f) =>
      frame(`${id}/${f + 1}.jpg`, id, g % 4 === 0 && f === 1 ? [soft] : [], captureOf(g, f)),
    );
    frames.push(...own);
    const reshoot = g % 9 === 8;
    return {
      id,
      verdict: reshoot ? 'reshoot' : g % 4 === 0 ? 'cleanup' : 'pass',
      frames: own.map((one) => one.id),
      findings: reshoot ? [noBack] : [],
      coverage: {
        required: ['front', 'back'],
        covered: { front: own[0]!.id, ...(!reshoot && { back: own[1]!.id }) },
        missing: reshoot ? ['back'] : [],
      },
      drift: { reference: null, worst: null, frames: [], flashAgainstNatural: null },
      columns: { season: 'autumn', shelf: `row ${g}` },
    };
  });
  return { ...demoResults, garments: made, frames, day: dayOf(frames) };
}
