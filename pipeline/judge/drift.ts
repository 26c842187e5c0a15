import type { Colour, Lab, Tint } from '../contracts/measurement/colour.ts';
import type { Measurement } from '../contracts/measurement/measurement.ts';
import type { Drift } from '../contracts/results.ts';
import { type LogRatios, miredPerLogRatio, whitenessOfCast } from '../numeric/colour/cast.ts';
import { ciede2000 } from '../numeric/colour/ciede2000.ts';
import { median } from '../numeric/statistics.ts';

export interface SetFrame {
  readonly id: string;
  readonly measurement: Measurement;
}

/** Two frames can be compared, but a reference needs a third to be more than one of them. */
const fewestFrames = 3;
/** A crop shows another part of patterned cloth, so its median may move by a good part of the spread; by a fifth, from rendered and real sets. */
const moveOfSpread = 0.2;
/** What stays of a difference after exposure is divided out: the tone curve bends colours by about a hundredth in ratio; common practice. */
const leastSigma = 0.01;
/** A garment's colour is compared only where its own colours are even enough that another crop does not change the median. */
const evenSpread = 0.08;

interface Shift extends LogRatios {
  readonly sigma: number;
}

const surfaces = ['garmentTint', 'skinTint'] as const;

function medianTint(tints: readonly Tint[]): LogRatios {
  return {
    redGreen: median(tints.map(({ redGreen }) => redGreen)),
    blueGreen: median(tints.map(({ blueGreen }) => blueGreen)),
  };
}

const sigmaOf = ({ spread, areas }: Tint): number =>
  Math.hypot(leastSigma, spread * moveOfSpread, (1.2533 * spread) / Math.sqrt(areas));

/** The frame's shift against the set, cloth and skin weighted by how well each is known. */
function shiftOf(colour: Colour, reference: ReadonlyMap<string, LogRatios>): Shift | null {
  let weight = 0;
  let redGreen = 0;
  let blueGreen = 0;
  for (const surface of surfaces) {
    const own = colour[surface];
    const usual = reference.get(surface);
    if (own === null || usual === undefined) continue;
    const certainty = 1 / sigmaOf(own) ** 2;
    weight += certainty;
    redGreen += certainty * (own.redGreen - usual.redGreen);
    blueGreen += certainty * (own.blueGreen - usual.blueGreen);
  }
  if (weight === 0) return null;
  return { redGreen: redGreen / weight, blueGreen: blueGreen / weight, sigma: 1 / Math.sqrt(weight) };
}

/** Colour difference of the garment at the set's median lightness, so that exposure does not count. */
function garmentDifference(colour: Colour, frames: readonly SetFrame[]): number | null {
  if (colour.garmentLab === null || colour.garmentTint === null || colour.garmentTint.spread > evenSpread)
    return null;
  const labs = frames
    .map(({ measurement }) => measurement.colour.garmentLab)
    .filter((lab): lab is Lab => lab !== null);
  const [lightness, usualA, usualB] = [0, 1, 2].map((part) => median(labs.map((lab) => lab[part]!))) as [
    number,
    number,
    number,
  ];
  // CIELAB chroma grows with lightness about in proportion where exposure alone changes.
  const scale = lightness / Math.max(1, colour.garmentLab[0]);
  return ciede2000(
    [lightness, usualA, usualB],
    [lightness, colour.garmentLab[1] * scale, colour.garmentLab[2] * scale],
  );
}

/**
 * Drift of each frame of a garment against its set, from the tints of cloth and skin: ratios of linear light, so exposure is divided out.
 * Flash frames and natural-light frames have references of their own where there are enough of each.
 */
export function measureDrift(frames: readonly SetFrame[]): Drift {
  const groups = [true, false].map((flash) =>
    frames.filter(({ measurement }) => (measurement.capture.flashFired === true) === flash),
  );
  const apart = groups.every((group) => group.length >= fewestFrames || group.length === 0);
  const rows = (apart ? groups : [frames]).flatMap((group) =>
    group.length < fewestFrames ? [] : driftOf(group),
  );
  const order = new Map(frames.map(({ id }, index) => [id, index]));
  rows.sort((a, b) => order.get(a.frame)! - order.get(b.frame)!);

  const known = frames.flatMap(({ measurement: { colour } }) =>
    colour.cctK === null || colour.duv === null ? [] : [{ cctK: colour.cctK, duv: colour.duv }],
  );
  if (rows.length === 0 || known.length === 0) return { reference: null, worst: null, frames: [] };
  const worst = rows.reduce((most, row) => (Math.abs(row.mired) > Math.abs(most.mired) ? row : most));
  return {
    reference: { cctK: median(known.map(({ cctK }) => cctK)), duv: median(known.map(({ duv }) => duv)) },
    worst: { frame: worst.frame, mired: worst.mired, duv: worst.duv, deltaE00: worst.deltaE00 },
    frames: rows,
  };
}

function driftOf(frames: readonly SetFrame[]): Drift['frames'] {
  const reference = new Map<string, LogRatios>();
  for (const surface of surfaces) {
    const tints = frames.flatMap(({ measurement }) => measurement.colour[surface] ?? []);
    if (tints.length >= fewestFrames) reference.set(surface, medianTint(tints));
  }
  const white = whitenessOfCast({ redGreen: 0, blueGreen: 0 });
  return frames.flatMap(({ id, measurement: { colour } }) => {
    const shift = shiftOf(colour, reference);
    const tinted = shift && whitenessOfCast(shift);
    if (!shift || !tinted || !white) return [];
    return [
      {
        frame: id,
        mired: tinted.mired - white.mired,
        duv: tinted.duv - white.duv,
        sigmaMired: shift.sigma * miredPerLogRatio(),
        deltaE00: garmentDifference(colour, frames),
      },
    ];
  });
}
