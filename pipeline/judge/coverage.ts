import { subjectBlurPx } from '../checks/delivery-size.ts';
import { amount } from '../checks/words.ts';
import type { CoverageDetail, Cut, DeliverySettings, JudgedFrame } from '../contracts/check.ts';
import type { Finding } from '../contracts/finding.ts';
import type { Measurement } from '../contracts/measurement/measurement.ts';
import { crops } from '../contracts/measurement/people.ts';
import { requirable } from '../profile/shape.ts';

/**
 * Which required views and crops the usable frames of a garment cover.
 *
 * - Only frames that pass or need cleanup count. A frame covers its view and its crop at once.
 * - A close detail covers `detail` and no view: it does not show the garment from that side.
 * - `full` needs the feet: a full length without visible feet does not cover it.
 * - A three-quarter view stands in for `front` or `side` where no usable frame shows that view itself; one frame never stands in
 *   for both, and `front` is served first.
 * - The best frame of an item passes rather than needs cleanup, then is the sharpest (softest part of the model at delivery size).
 * - A frame whose view could not be told, in which no model was found, or that cannot be read may show a missing item: then a
 *   person must look. One frame shows one view and one crop, so where more are missing than such frames are there, all are missing.
 * - A missing `knee` or `waist` crop can be cut from a wider frame if the cut keeps the delivery's long edge.
 */

type Shows = 'yes' | 'three-quarter' | 'unsure' | 'no';

const isCrop = (item: string): boolean => crops.some((crop) => crop === item);

function showsCrop({ framing, people }: Measurement, item: string): Shows {
  if (framing.crop === 'none') {
    // Without a model the frame may be a close detail; with one whose crop could not be told it may be anything else.
    return (people.subjects.length === 0) === (item === 'detail') ? 'unsure' : 'no';
  }
  if (framing.crop !== item) return 'no';
  return item === 'full' && framing.feetVisible === 0 ? 'no' : 'yes';
}

function showsView({ framing, people }: Measurement, item: string): Shows {
  if (framing.crop === 'detail' || people.subjects.length === 0) return 'no';
  if (framing.view === item) return 'yes';
  if (framing.view === 'unknown') return 'unsure';
  return framing.view === 'three-quarter' && (item === 'front' || item === 'side') ? 'three-quarter' : 'no';
}

function shows(measurement: Measurement, item: string): Shows {
  if (!requirable.includes(item)) return 'unsure';
  return isCrop(item) ? showsCrop(measurement, item) : showsView(measurement, item);
}

interface Candidate {
  readonly id: string;
  readonly measurement: Measurement;
  readonly usable: boolean;
  readonly passes: boolean;
  /** What has to be done with it before delivery. */
  readonly work: readonly string[];
  readonly blurPx: number;
}

const isWork = ({ severity, decision }: Finding): boolean =>
  severity !== 'note' && decision?.decided !== 'accept';

function candidates(frames: readonly JudgedFrame[], delivery: DeliverySettings): readonly Candidate[] {
  return frames.flatMap(({ id, measurement, verdict, findings }) =>
    measurement === null
      ? []
      : [
          {
            id,
            measurement,
            usable: verdict === 'pass' || verdict === 'cleanup',
            passes: verdict === 'pass',
            work: findings.filter(isWork).map(({ title }) => title),
            blurPx: subjectBlurPx({ id, measurement, delivery }) ?? Number.POSITIVE_INFINITY,
          },
        ],
  );
}

/** Best first; frames that nothing tells apart stay in the delivery's order. */
function ranked(frames: readonly Candidate[]): readonly Candidate[] {
  return [...frames].sort(
    (a, b) => Number(b.passes) - Number(a.passes) || (a.blurPx === b.blurPx ? 0 : a.blurPx - b.blurPx),
  );
}

/** What a frame was ranked by, in words. */
function because({ passes, work, blurPx }: Candidate, standsIn: boolean): string {
  const state = passes ? 'passes' : `needs work (${[...new Set(work)].join('; ')})`;
  const blur = Number.isFinite(blurPx)
    ? `blur ${amount(blurPx, 'px')} at delivery size`
    : 'blur not measured';
  return `${standsIn ? 'three-quarter view, ' : ''}${state}, ${blur}`;
}

/**
 * Heights above the ground as shares of the body's height: knee 0.285, hip 0.530 (Drillis and Contini 1966, as printed in Winter,
 * Biomechanics and Motor Control of Human Movement; from memory). A cut a little beside the joint, at mid-thigh or at the waist
 * (about 0.60, common practice), leaves these shares of the body from the top of the head.
 */
const bodyShareKept = { knee: 0.74, waist: 0.45 } as const;

/** A wider frame large enough to cut the missing crop from, and the long edge left; `null` where there is none. */
function cutFrom(item: string, usable: readonly Candidate[], delivery: DeliverySettings): Cut | null {
  if (item !== 'knee' && item !== 'waist') return null;
  for (const { id, measurement } of ranked(usable)) {
    const { crop, fill, headroom } = measurement.framing;
    if (fill === null || !(crop === 'full' || (crop === 'knee' && item === 'waist'))) continue;
    // What a knee crop shows of the body is itself only a part of it.
    const body = crop === 'knee' ? fill / bodyShareKept.knee : fill;
    const share = Math.min(1, body * bodyShareKept[item] + (headroom ?? 0));
    const longEdgePx = Math.floor(share * measurement.file.height);
    if (longEdgePx >= delivery.longEdgePx) return { frame: id, longEdgePx };
  }
  return null;
}

/** Only what the frames in question can all supply: as many views as there are frames for views, and the same for crops. */
function enough(unsure: ReadonlyMap<string, readonly string[]>): ReadonlyMap<string, readonly string[]> {
  const kindOf = (item: string): string =>
    requirable.includes(item) ? (isCrop(item) ? 'crop' : 'view') : 'not ours';
  return new Map(
    [...unsure].filter(([item]) => {
      const alike = [...unsure].filter(([other]) => kindOf(other) === kindOf(item));
      return kindOf(item) === 'not ours' || alike.length <= new Set(alike.flatMap(([, ids]) => ids)).size;
    }),
  );
}

/**
 * @param required views and crops asked for; a name that is not ours is missing, and every usable frame may show it.
 * @param frames the garment's frames with their verdicts, in the delivery's order.
 */
export function coverage(
  required: readonly string[],
  frames: readonly JudgedFrame[],
  delivery: DeliverySettings,
): CoverageDetail {
  const all = candidates(frames, delivery);
  const usable = all.filter((frame) => frame.usable);
  const rejected = all.filter((frame) => !frame.usable);
  const ids = (among: readonly Candidate[], item: string, answer: Shows): readonly string[] =>
    ranked(among.filter(({ measurement }) => shows(measurement, item) === answer)).map(({ id }) => id);

  const wanted = [...new Set(required)];
  const covered = new Map<string, string>();
  for (const item of wanted) {
    const best = ids(usable, item, 'yes')[0];
    if (best !== undefined) covered.set(item, best);
  }
  const standIns = new Map<string, string>();
  const free = [...ids(usable, 'front', 'three-quarter')];
  for (const item of ['front', 'side']) {
    if (!wanted.includes(item) || covered.has(item)) continue;
    const standIn = free.shift();
    if (standIn !== undefined) standIns.set(item, standIn);
  }

  const rankedFor = (item: string) => {
    const of = (answer: Shows): readonly Candidate[] =>
      ranked(usable.filter(({ measurement }) => shows(measurement, item) === answer));
    return [...of('yes'), ...of('three-quarter')].map((candidate) => ({
      frame: candidate.id,
      because: because(candidate, shows(candidate.measurement, item) === 'three-quarter'),
    }));
  };
  const missing = wanted.filter((item) => !covered.has(item) && !standIns.has(item));
  const some = (of: (item: string) => readonly string[]): ReadonlyMap<string, readonly string[]> =>
    new Map(missing.map((item) => [item, of(item)] as const).filter(([, found]) => found.length > 0));
  const unreadable = frames.filter(({ measurement }) => measurement === null).map(({ id }) => id);
  const unsure = some((item) => [...ids(usable, item, 'unsure'), ...unreadable]);
  const cuts = missing.map((item) => [item, cutFrom(item, usable, delivery)] as const);
  return {
    required: wanted,
    covered: Object.fromEntries(
      wanted.flatMap((item) => {
        const frame = covered.get(item) ?? standIns.get(item);
        return frame === undefined ? [] : [[item, frame]];
      }),
    ),
    missing,
    ranked: Object.fromEntries(wanted.map((item) => [item, rankedFor(item)])),
    standIns,
    lost: some((item) => ids(rejected, item, 'yes')),
    unsure: enough(unsure),
    cut: new Map(cuts.flatMap(([item, cut]) => (cut === null ? [] : [[item, cut]]))),
  };
}
