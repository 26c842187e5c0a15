import {
  type FrameCheck,
  type FrameView,
  type Graded,
  type Observation,
  type Observed,
  standardLevels,
  type Words,
} from '../contracts/check.ts';
import type { RegionSharpness } from '../contracts/measurement/sharpness.ts';
import { atDeliveryPx } from './delivery-size.ts';
import { observed } from './observed.ts';
import { subjectPart } from './subject-part.ts';
import { against, amount, shutterNoLongerThan } from './words.ts';

/** What the three checks of soft subject parts share: the number, and the words for what the blur looks like. */

type Part = 'eyes' | 'face' | 'garment';

/**
 * Two regions differ in blur where one is below this share of the other. The estimator is held to 10 % of an independent
 * measurement (tests/reference), so two of its values less than a fifth apart may be the same.
 */
const clearlySharper = 0.8;

/** Directions of blur within this many degrees are one movement: twice the 8 degrees a single direction is held to. */
const sameDirectionDeg = 16;

function sameDirection(a: RegionSharpness | null, b: RegionSharpness | null): boolean {
  if (!a?.direction || !b?.direction) return false;
  const apart = Math.abs(a.direction.deg - b.direction.deg) % 180;
  return Math.min(apart, 180 - apart) <= sameDirectionDeg;
}

/** Which other part is clearly sharper than this one: where the focus went. */
function focusOn(frame: FrameView, part: Part): 'background' | 'face' | 'garment' | null {
  const { sharpness } = frame.measurement;
  const own = sharpness[part];
  if (own === null) return null;
  const others = (['background', 'garment', 'face'] as const).filter((other) => other !== part);
  const sharper = others
    .map((other) => ({ other, blur: sharpness[other]?.blurSigmaPx ?? Number.POSITIVE_INFINITY }))
    .filter(({ blur }) => blur < own.blurSigmaPx * clearlySharper)
    .sort((a, b) => a.blur - b.blur)[0];
  return sharper?.other ?? null;
}

/** Where, seen from the model, the sharpest cell of the focus map off all people lies; `null` where the map does not say. */
function sharpestPlace({ measurement }: FrameView): string | null {
  const { columns, rows, sigmaPx } = measurement.sharpness.focusMap;
  const boxes = [...measurement.people.subjects, ...measurement.people.background].map(({ box }) => box);
  const model = measurement.people.subjects[0]?.box;
  if (model === undefined) return null;
  let place: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const [index, sigma] of sigmaPx.entries()) {
    if (sigma === null || sigma >= least) continue;
    const x = ((index % columns) + 0.5) / columns;
    const y = (Math.floor(index / columns) + 0.5) / rows;
    const onPerson = boxes.some(
      ([left, top, width, height]) => x >= left && x <= left + width && y >= top && y <= top + height,
    );
    if (onPerson) continue;
    least = sigma;
    if (x < model[0]) place = 'left of';
    else if (x > model[0] + model[2]) place = 'right of';
    else place = y < model[1] ? 'above' : 'below';
  }
  return place;
}

/** The observation of one part's blur at delivery size, with the facts its words need. */
export function observeBlur(frame: FrameView, part: Part, own: RegionSharpness): Observed {
  const { capture, sharpness } = frame.measurement;
  const region = subjectPart(frame.measurement, part);
  const motion = own.direction;
  return observed({
    quantity: 'blur',
    value: atDeliveryPx(frame, own.blurSigmaPx),
    data: {
      nativePx: own.blurSigmaPx,
      motionPx: motion === null ? null : motion.lengthPx,
      motionDeg: motion === null ? null : motion.deg,
      wholeFrameMoved: sameDirection(own, sharpness.background),
      focusOn: focusOn(frame, part),
      place: sharpestPlace(frame),
      fNumber: capture.fNumber,
      exposureTimeS: capture.exposureTimeS,
    },
    ...(region === undefined ? {} : { region }),
  });
}

const places: Readonly<Record<Part, { readonly where: string; readonly focus: string }>> = {
  eyes: { where: 'in the eyes', focus: 'on the near eye' },
  face: { where: 'in the face', focus: 'on the near eye' },
  garment: { where: 'on the garment', focus: 'on the garment' },
};

/** What else is sharper, and so where the focus fell. Ground below the model lies nearer to the camera, all else behind. */
function whereFocusFell(sharper: unknown, place: unknown): string {
  if (sharper === 'face') return 'The face is sharper, so the focus fell in front of or behind this part.';
  if (sharper === 'garment')
    return 'The garment is sharper, so the focus fell in front of or behind this part.';
  if (sharper !== 'background') return '';
  if (place === 'below') return 'The ground below the model is sharper, so the focus fell in front.';
  const where = typeof place === 'string' ? ` ${place} the model` : '';
  return `The background${where} is sharper, so the focus fell behind.`;
}

interface Cause {
  /** What the blur looks like: a sentence, or nothing. */
  readonly why: string;
  /** How to shoot it again: goes on from "shoot again". */
  readonly how: string;
}

function cause(part: Part, observation: Observation, limit: number): Cause {
  const { motionPx, motionDeg, wholeFrameMoved, fNumber, exposureTimeS, ...data } = observation.data ?? {};
  if (typeof motionPx === 'number' && typeof motionDeg === 'number') {
    const what = wholeFrameMoved ? 'the camera shook' : 'the model or the camera moved';
    const how =
      typeof exposureTimeS === 'number' && typeof observation.value === 'number'
        ? `at ${shutterNoLongerThan((exposureTimeS * limit) / observation.value)} or faster instead of ${amount(exposureTimeS, 's')}`
        : 'with a faster shutter';
    return { why: `It runs ${amount(motionPx, 'px')} at ${Math.round(motionDeg)} degrees: ${what}.`, how };
  }
  // f/2.8 to f/4 is the usual range for a model in natural light: common practice.
  const stop = typeof fNumber === 'number' && fNumber >= 2.8 ? '' : 'at f/2.8 to f/4 ';
  return {
    why: whereFocusFell(data.focusOn, data.place),
    how: `${stop}with the focus ${places[part].focus}`,
  };
}

function describe(part: Part, title: string, observation: Observation, graded: Graded): Words {
  const { value, limit } = against(Number(observation.value), Number(graded.limit), 'px');
  const { why, how } = cause(part, observation, Number(graded.limit));
  const sentences = [
    `Blur ${places[part].where} is ${value} at delivery size, more than the ${limit} limit.`,
    why,
    graded.severity === 'cleanup'
      ? `Look at 100 %: careful sharpening may be enough, otherwise shoot again ${how}.`
      : `Shoot again ${how}.`,
  ];
  return { title, detail: sentences.filter((text) => text !== '').join(' ') };
}

/** A check of one part's blur; `observe` decides what a missing number means for that part. */
export function softnessCheck(
  id: string,
  title: string,
  what: string,
  part: Part,
  observe: (frame: FrameView) => Observed,
): FrameCheck {
  return {
    level: 'frame',
    meta: {
      id,
      title,
      what,
      quantities: {
        blur: {
          bad: 'above',
          unit: 'px',
          meaning: `blur ${places[part].where} at delivery size: standard deviation of the equal Gaussian`,
          levels: ['cleanup', 'reject'],
        },
      },
      levels: standardLevels,
    },
    observe,
    describe: (observation, graded) => describe(part, title, observation, graded),
  };
}
