import type { Finding } from '../../pipeline/contracts/finding.ts';
import type { Picture } from '../../pipeline/contracts/measurement/measurement.ts';
import type { FrameResult, GarmentResult, Results } from '../../pipeline/contracts/results.ts';
import { dayOf } from '../../pipeline/judge/day/day.ts';
import { fakeMeasurement } from './fake-measurement.ts';
import { defaultProfile } from './profile.ts';

/** A day with every kind of verdict and finding, and with names that a page must not trust: for tests of documents. */

export const hostileName = `<b>"coat" & 'skirt'</b> #1?.jpg`;

const pictures: readonly Picture[] = [
  { file: 'frame.jpg', shows: 'frame', box: [0, 0, 1, 1], width: 400, height: 600 },
  { file: 'small.jpg', shows: 'small', box: [0, 0, 1, 1], width: 160, height: 240 },
  { file: 'eyes.jpg', shows: 'eyes', box: [0.45, 0.1, 0.1, 0.04], width: 240, height: 120 },
];

const stranger: Finding = {
  check: 'background-person',
  severity: 'cleanup',
  title: 'Person in the background',
  detail:
    'A person stands to the left of the model and takes 2.1 % of the frame. Have the retoucher take them out.',
  value: 0.021,
  limit: 0.001,
  unit: 'share',
  source: 'common practice',
  region: [0.05, 0.3, 0.1, 0.3],
};

const softEyes: Finding = {
  check: 'soft-eyes',
  severity: 'reject',
  title: 'Soft eyes',
  detail:
    'Blur in the eyes is 3.1 px at delivery size, more than the 2 px limit. Shoot again with focus on the near eye.',
  value: 3.1,
  limit: 2,
  unit: 'px',
  source: 'common practice',
};

const alike: Finding = {
  check: 'near-duplicate',
  severity: 'note',
  title: 'Near-duplicates',
  detail: 'Two frames look alike. Keep the first, the sharpest, and leave the other out.',
  value: 3,
  limit: 8,
  unit: 'bits',
  source: 'common practice',
};

const unreadable: Finding = {
  check: 'unreadable-file',
  severity: 'reject',
  title: 'Unreadable file',
  detail: 'The jpeg file is cut off before its end: copy it again from the camera card.',
  value: null,
  limit: null,
  unit: '',
  source: '',
};

let framesMade = 0;

function frame(
  id: string,
  garment: string,
  verdict: FrameResult['verdict'],
  findings: Finding[],
): FrameResult {
  const empty = fakeMeasurement(new TextEncoder().encode(id));
  framesMade += 1;
  const measurement = {
    ...empty,
    pictures: [...pictures],
    capture: {
      ...empty.capture,
      takenAt: `2026-05-12T10:${String(11 * framesMade).padStart(2, '0')}:00`,
      make: '<i>Maker</i>',
      model: 'M1',
      serial: String(framesMade % 2),
      fNumber: 2.8,
      exposureTimeS: 0.004,
      flashFired: framesMade % 2 === 1,
    },
    sharpness: {
      ...empty.sharpness,
      eyes: { blurSigmaPx: framesMade, mtf50CyPx: 0.1, edges: 40, direction: null, kind: null },
    },
    people: {
      ...empty.people,
      subjects: [
        {
          box: [0.3, 0.05, 0.4, 0.9] as const,
          score: 0.9,
          mask: null,
          maskKind: null,
          keypoints: [],
          because: 'the largest and sharpest person',
        },
      ],
    },
  };
  return {
    id,
    garment,
    verdict,
    findings,
    measurement: verdict === 'unreadable' ? null : measurement,
  } as FrameResult;
}

function garment(
  id: string,
  verdict: GarmentResult['verdict'],
  frames: readonly FrameResult[],
): GarmentResult {
  return {
    id,
    verdict,
    frames: frames.map((of) => of.id),
    findings: frames.length > 1 ? [{ ...alike, frames: frames.map((of) => of.id) }] : [],
    coverage: { required: ['front', 'back'], covered: { front: frames[0]?.id ?? '' }, missing: ['back'] },
    drift: {
      reference: { cctK: 5600, duv: 0.002, evidence: 'skin' },
      worst: null,
      frames: frames.map((of, index) => ({
        frame: of.id,
        mired: index * 9 - 6,
        duv: 0,
        sigmaMired: 2,
        sigmaDuv: 0.0007,
        deltaE00: 1,
        sigmaDeltaE00: 0.5,
        evidence: 'garment',
        among: 'all',
      })),
      flashAgainstNatural: null,
    },
    columns: {},
  } as GarmentResult;
}

const coat = [
  frame(`${hostileName}/1 ü.jpg`, hostileName, 'cleanup', [stranger]),
  frame(`${hostileName}/2.jpg`, hostileName, 'reject', [softEyes, stranger]),
];
const dress = [
  frame('dress/a-long-file-name-of-a-camera-0001.jpg', 'dress', 'pass', []),
  frame('dress/2.jpg', 'dress', 'unreadable', [unreadable]),
];
const skirt = [frame('skirt/1.jpg', 'skirt', 'pass', [])];

export const demoResults = {
  schema: 'nightrail/results@1',
  run: {
    startedAt: '2026-05-12T21:00:00Z',
    finishedAt: '2026-05-12T21:10:00Z',
    host: 'desk',
    dispatch: 'threads',
  },
  tool: { version: '0.1.0', measurement: '0123456789ab', models: {} },
  profile: {
    name: 'default',
    hash: '0'.repeat(64),
    checks: { 'colour-drift': defaultProfile.checks['colour-drift'] },
  },
  remarks: ['The link <b>old</b> leads nowhere and was left out.'],
  garments: [
    garment(hostileName, 'cleanup', coat),
    garment('dress', 'reshoot', dress),
    garment('skirt', 'pass', skirt),
  ],
  day: dayOf([...coat, ...dress, ...skirt]),
  frames: [...coat, ...dress, ...skirt],
} as Results;
