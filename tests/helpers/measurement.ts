import type { DeliverySettings, FrameView } from '../../pipeline/contracts/check.ts';
import { histogramBins } from '../../pipeline/contracts/measurement/histogram.ts';
import type { Measurement } from '../../pipeline/contracts/measurement/measurement.ts';
import { type BackgroundPerson, bodyPointNames } from '../../pipeline/contracts/measurement/people.ts';
import type { RegionSharpness } from '../../pipeline/contracts/measurement/sharpness.ts';

/** A blur with the contrast that goes with it: MTF50 = 0.1874 / sigma (references, Gaussian edge). */
export function blur(blurSigmaPx: number, direction: RegionSharpness['direction'] = null): RegionSharpness {
  return {
    blurSigmaPx,
    mtf50CyPx: 0.1874 / blurSigmaPx,
    edges: 200,
    direction,
    kind: direction === null ? 'defocus' : 'motion',
  };
}

export const person = (over: Partial<BackgroundPerson> = {}): BackgroundPerson => ({
  box: [0.05, 0.4, 0.1, 0.3],
  score: 0.8,
  mask: null,
  maskKind: null,
  shareOfFrame: 0.03,
  blurSigmaPx: 4,
  cutBy: null,
  overlapWithSubject: 0,
  distanceToSubject: 0.2,
  standingShare: 1,
  mayBe: null,
  ...over,
});

/** Body points of a person standing upright in the middle of the frame; places by eye. */
const heights: Readonly<Record<string, readonly [number, number]>> = {
  nose: [0.5, 0.15],
  'left-eye': [0.51, 0.14],
  'right-eye': [0.49, 0.14],
  'left-ear': [0.52, 0.145],
  'right-ear': [0.48, 0.145],
};

export type Sections = {
  readonly [Section in Exclude<keyof Measurement, 'contentHash' | 'pictures'>]?:
    | Partial<Measurement[Section]>
    | undefined;
};

/** 3.84 million px spread evenly over all levels. */
const evenLevels = { bins: new Array<number>(histogramBins).fill(60_000), atFloor: 0, atCeiling: 0 };

/** A measurement of a frame that passes every check: full length, from the front, sharp, well exposed. Sections are overridden in part. */
export function aMeasurement(over: Sections = {}): Measurement {
  const base: Measurement = {
    contentHash: '0'.repeat(64),
    file: {
      format: 'jpeg',
      bytes: 8_000_000,
      width: 1600,
      height: 2400,
      bitsPerChannel: 8,
      colourProfile: 'sRGB IEC61966-2.1',
      colourSpace: 'srgb',
      profileNameAgrees: true,
      profileProblem: null,
      cameraColourSpace: 'srgb',
      alpha: false,
      pages: 1,
    },
    capture: {
      takenAt: '2026-05-12T10:00:00.00+02:00',
      make: 'Maker',
      model: 'Body',
      serial: '1',
      lens: '85 mm',
      fNumber: 3.5,
      exposureTimeS: 1 / 200,
      iso: 200,
      focalLengthMm: 85,
      focalLength35mm: 85,
      flashFired: false,
      whiteBalance: 'manual',
      colourTemperatureK: 5500,
    },
    people: {
      subjects: [
        {
          box: [0.3, 0.08, 0.4, 0.86],
          score: 0.9,
          mask: null,
          maskKind: null,
          keypoints: bodyPointNames.map((name) => ({ name, at: heights[name] ?? [0.5, 0.6], score: 0.9 })),
          because: 'the only person',
        },
      ],
      background: [],
      reason: {},
    },
    framing: {
      crop: 'full',
      view: 'front',
      cutAt: null,
      turnDeg: 5,
      feetVisible: 2,
      headroom: 0.08,
      fill: 0.86,
      reason: {},
    },
    sharpness: {
      eyes: blur(0.8),
      face: blur(0.8),
      garment: blur(0.8),
      background: blur(5),
      focusMap: { columns: 1, rows: 1, sigmaPx: [0.8] },
      reason: {},
    },
    exposure: {
      clippedShare: { garment: 0, skin: 0, frame: 0 },
      clippedTwoShare: { garment: 0, skin: 0, frame: 0 },
      clippedThreeShare: { garment: 0, skin: 0, frame: 0 },
      largestClippedBlobShare: 0,
      largestClippedBlobBox: null,
      largestClippedBlobTexture: null,
      lostClothShare: 0,
      lostClothTwoShare: 0,
      specularPoints: { count: 0, share: 0 },
      blockedShare: 0,
      largestBlockedBlobShare: 0,
      subjectLuma: 60,
      skinLuma: 60,
      garmentLuma: 50,
      backgroundLuma: 65,
      flashBand: null,
      histogram: { red: evenLevels, green: evenLevels, blue: evenLevels },
      backgroundEvDifference: 0.5,
      reason: {},
    },
    colour: {
      cctK: 5500,
      mired: 1e6 / 5500,
      duv: 0.003,
      sigmaMired: 1,
      garmentLab: [50, 20, 10],
      sigmaDuv: 0.0005,
      swatches: [],
      reference: 'skin',
      cardBox: null,
      reason: {},
    },
    likeness: { dhash64: '0123456789abcdef' },
    pictures: [],
  };
  const sections = Object.entries(over).map(([name, section]) => [
    name,
    { ...base[name as keyof Sections], ...section },
  ]);
  return { ...base, ...Object.fromEntries(sections) };
}

/** Delivery settings for tests of single checks, apart from any profile. */
export const aDelivery: DeliverySettings = {
  longEdgePx: 2400,
  longEdgeSource: 'test',
  formats: { names: ['jpeg', 'tiff'], source: 'test' },
  colourSpaces: { names: ['srgb'], source: 'test' },
  required: { names: ['front', 'back'], source: 'test' },
};

/** A frame whose long edge is that of the delivery, so that native and delivered px are the same. */
export function aFrame(over: Sections = {}, id = 'g/1.jpg', delivery = aDelivery): FrameView {
  return { id, measurement: aMeasurement(over), delivery };
}
