/** The demo shoot against what its renderer knows: blur, drift, boxes and masks. */
import sharp from 'sharp';
import { measureDrift } from '../../pipeline/judge/drift.ts';
import { intersectionOverUnion } from '../../pipeline/numeric/boxes.ts';
import { groupBy } from '../../pipeline/numeric/group-by.ts';
import { median } from '../../pipeline/numeric/statistics.ts';
import { garmentOf, type TrueFrame, type TruePerson, unrolled } from '../helpers/demo-truth.ts';
import { type DemoFrame, demoFrames } from './demo-frames.ts';
import type { SweepPlan, SweepPoint } from './sweep.ts';

const source = "the renderer's scene (samples/truth)";

/** Standard deviation of an even disc along any axis is a quarter of its diameter, of an even path its length by the root of twelve. */
const lensSpreadPx = ({ blurDiscPx, motionPx, smoothedPx }: TrueFrame, region: 'eyes' | 'garment'): number =>
  Math.hypot(blurDiscPx[region] / 4, motionPx / Math.sqrt(12), smoothedPx);

/**
 * What a rendered edge has besides the lens: models are rendered at half to two thirds of the size and enlarged, which spreads an edge
 * by 0.7 to 1 px (pixel filter and cubic convolution), and folds, lashes and woven threads are no steps of one px themselves.
 */
const ownSpreadPx = 1.2;

/** Full, knee and waist: close details of plain or striped cloth are not promised (see samples/README.md). */
const isView = ({ truth }: DemoFrame): boolean => truth.crop !== 'detail';

/** Eyes that the lens or a movement has blurred read too sharp (see samples/README.md); where focus lies behind the eyes the sharpest cloth is anywhere. */
const regionsOf = ({ planted }: TrueFrame): readonly ('eyes' | 'garment')[] => {
  if (planted.includes('soft-eyes')) return [];
  return planted.includes('soft-garment') ? ['garment'] : ['eyes', 'garment'];
};

export const demoBlur: SweepPlan = {
  id: 'demo-blur',
  quantity: 'blur of eyes and cloth on rendered frames',
  unit: 'px',
  range: 'full, knee and waist crops of the demo shoot: eyes in focus; cloth in focus, moved and shaken',
  source,
  limitText: "the lens's and the shutter's own spread less 10 %, at most 1.2 px more by squares",
  measure: async () =>
    (await demoFrames()).filter(isView).flatMap(({ truth, measurement }) => {
      const scale = measurement.file.height / truth.size[1];
      return regionsOf(truth).flatMap((region): SweepPoint[] => {
        const found = measurement.sharpness[region];
        if (found === null) return [];
        const spread = scale * lensSpreadPx(truth, region);
        return [
          {
            truth: spread,
            measured: found.blurSigmaPx,
            low: 0.9 * spread,
            high: Math.hypot(spread, ownSpreadPx),
            condition: `${truth.frame}, ${region}`,
          },
        ];
      });
    }),
};

/**
 * The tone curve of the frames (`samples/render/studio/develop.py`) works on each channel and stretches a change of light by -9 to +14 %,
 * dark to light. No measurement can know it.
 */
const toneShare = 0.14;
/** Normal errors stay within this many standard uncertainties in 99 of 100 cases. */
const coverage = 2.576;

/** Colour of the main light as the camera was balanced for it. */
const mired = ({ light, whiteBalanceK }: TrueFrame): number =>
  1e6 / (light.sun ?? light.flash ?? light.sky)!.kelvin - 1e6 / whiteBalanceK;

export const demoDrift: SweepPlan = {
  id: 'demo-drift',
  quantity: 'drift of the frames of a rendered set',
  unit: 'mired',
  range: 'full, knee and waist crops of five sunlit sets, 0 to +25 mired',
  source,
  limitText: '2 mired or its own stated 99 % interval, and 14 % for the tone curve',
  measure: async () => {
    // A set lit by flash and sky has no one light: the share of each changes from frame to frame.
    const sunlit = (await demoFrames()).filter(({ truth }) => truth.light.flash === undefined);
    const sets = groupBy(sunlit, ({ truth }) => garmentOf(truth));
    return [...sets.values()].flatMap((frames) => {
      const middle = median(frames.map(({ truth }) => mired(truth)));
      const drift = measureDrift(frames.map(({ truth, measurement }) => ({ id: truth.frame, measurement })));
      return frames.filter(isView).map(({ truth }): SweepPoint => {
        const expected = mired(truth) - middle;
        const found = drift.frames.find(({ frame }) => frame === truth.frame);
        const allowed = Math.max(2, coverage * (found?.sigmaMired ?? 0)) + toneShare * Math.abs(expected);
        return {
          truth: expected,
          measured: found?.mired ?? null,
          low: expected - allowed,
          high: expected + allowed,
          condition: truth.frame,
        };
      });
    });
  },
};

/** One point a person of the truth. */
async function overPeople(
  least: number,
  overlap: (frame: DemoFrame, person: TruePerson) => Promise<number> | number,
): Promise<readonly SweepPoint[]> {
  const points: SweepPoint[] = [];
  for (const frame of await demoFrames()) {
    for (const [index, person] of frame.truth.people.entries()) {
      const measured = await overlap(frame, person);
      const condition = `${frame.truth.frame}, ${person.role} ${index + 1}`;
      points.push({ truth: 1, measured, low: least, high: 1, condition });
    }
  }
  return points;
}

/** Whom the pipeline took for this person: the model among the models, a passer-by among the others. */
function found({ measurement: { people } }: DemoFrame, { role, box }: TruePerson) {
  const among = role === 'model' ? people.subjects : people.background;
  const near = among.map((each) => ({ ...each, overlap: intersectionOverUnion(each.box, box) }));
  return near.toSorted((a, b) => b.overlap - a.overlap)[0];
}

export const demoBoxes: SweepPlan = {
  id: 'demo-boxes',
  quantity: 'boxes of people on rendered frames',
  unit: 'intersection over union',
  range: 'every model and passer-by of the demo shoot',
  source,
  limitText: 'at least 0.5 for everybody (PASCAL VOC 2010)',
  measure: () => overPeople(0.5, (frame, person) => found(frame, person)?.overlap ?? 0),
};

/** Cells of the true mask that the found one takes in, and the other way round. */
async function maskOverlap(png: Buffer, mask: TruePerson['mask']): Promise<number> {
  const { rows, columns } = mask;
  const cells = await sharp(png).resize(columns, rows, { fit: 'fill' }).extractChannel(0).raw().toBuffer();
  let both = 0;
  let either = 0;
  for (const [at, inside] of unrolled(mask).entries()) {
    const there = cells[at]! >= 128;
    if (inside && there) both++;
    if (inside || there) either++;
  }
  return either === 0 ? 0 : both / either;
}

export const demoMasks: SweepPlan = {
  id: 'demo-masks',
  quantity: 'masks of people on rendered frames',
  unit: 'intersection over union',
  range: 'every model and passer-by of the demo shoot',
  source,
  limitText: 'at least 0.5 for everybody (PASCAL VOC 2010)',
  measure: () =>
    overPeople(0.5, async (frame, person) => {
      const name = found(frame, person)?.mask;
      const png = frame.evidence.find((each) => each.name === name)?.bytes;
      return png === undefined ? 0 : maskOverlap(Buffer.from(png), person.mask);
    }),
};

export const demoSweeps: readonly SweepPlan[] = [demoBlur, demoDrift, demoBoxes, demoMasks];
