import type { CoverageDetail, GarmentView, JudgedFrame, SetView } from '../../pipeline/contracts/check.ts';
import type { FrameVerdict } from '../../pipeline/contracts/finding.ts';
import type { Drift } from '../../pipeline/contracts/results.ts';
import { aDelivery, aFrame, aMeasurement, type Sections } from './measurement.ts';

const noDrift: Drift = { reference: null, worst: null, frames: [], flashAgainstNatural: null };

/** A set of frames `g/1.jpg` and on; `limit` is what the check is told of every limit. */
export function aSetView(sections: readonly Sections[], limit: number | null = null): SetView {
  return {
    garment: 'g',
    frames: sections.map((over, index) => aFrame(over, `g/${index + 1}.jpg`)),
    drift: noDrift,
    limit: () => limit,
  };
}

type DriftOfFrame = Drift['frames'][number];

/** Two frames of which the second drifts as told, with no uncertainty unless told. */
export function drifting(over: Partial<DriftOfFrame>): SetView {
  const still = {
    mired: 0,
    duv: 0,
    sigmaMired: 0,
    sigmaDuv: 0,
    deltaE00: 0,
    sigmaDeltaE00: 0,
    evidence: 'garment',
    among: 'all',
  } as const;
  const moved = { ...still, frame: 'g/2.jpg', ...over };
  return {
    ...aSetView([{}, {}]),
    drift: {
      reference: { cctK: 5500, duv: 0.003, evidence: 'skin' },
      worst: { frame: moved.frame, mired: moved.mired, duv: moved.duv, deltaE00: moved.deltaE00 },
      frames: [{ frame: 'g/1.jpg', ...still }, moved],
      flashAgainstNatural: null,
    },
  };
}

/** A set without drift whose flash frames differ from its natural-light frames, with no uncertainty unless told. */
export function flashOff(over: Partial<NonNullable<Drift['flashAgainstNatural']>>): SetView {
  const view = drifting({});
  const flashAgainstNatural = { mired: 0, duv: 0, sigmaMired: 0, sigmaDuv: 0, ...over };
  return { ...view, drift: { ...view.drift, flashAgainstNatural } };
}

const fullCoverage: CoverageDetail = {
  required: [],
  covered: {},
  missing: [],
  standIns: new Map(),
  lost: new Map(),
  unsure: new Map(),
  cut: new Map(),
};

export const judgedFrame = (id: string, verdict: FrameVerdict, over: Sections = {}): JudgedFrame => ({
  id,
  verdict,
  measurement: verdict === 'unreadable' ? null : aMeasurement(over),
  findings: [],
});

/** A garment whose frames `g/1.jpg` and on have these verdicts. */
export function aGarmentView(over: {
  readonly verdicts?: readonly FrameVerdict[];
  readonly coverage?: Partial<CoverageDetail>;
}): GarmentView {
  return {
    garment: 'g',
    frames: (over.verdicts ?? []).map((verdict, index) => judgedFrame(`g/${index + 1}.jpg`, verdict)),
    coverage: { ...fullCoverage, ...over.coverage },
    delivery: aDelivery,
  };
}
