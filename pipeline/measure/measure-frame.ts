import { createHash } from 'node:crypto';
import type { FrameImage } from '../contracts/frame-image.ts';
import type { Measurement } from '../contracts/measurement/measurement.ts';
import type { People } from '../contracts/measurement/people.ts';
import { decodeFrame } from '../decode/decode-frame.ts';
import { measureColour } from './colour.ts';
import { type Evidence, takeEvidence } from './evidence.ts';
import { measureExposure } from './exposure.ts';
import { measureFraming } from './framing.ts';
import { measureLikeness } from './likeness.ts';
import { drawMasks } from './people/draw-masks.ts';
import { findPeople } from './people.ts';
import { findRegions } from './regions.ts';
import { blurOfBoxes, measureSharpness } from './sharpness.ts';
import { readTag } from './tag.ts';

export interface MeasuredFrame {
  readonly measurement: Measurement;
  readonly evidence: readonly Evidence[];
}

/** Runs one part of the measuring. Whoever wants to know what each part costs hands in one that looks at the clock. */
export type Observe = <T>(part: string, work: () => T | Promise<T>) => Promise<T>;

const unobserved: Observe = async (_, work) => work();

/** People with the blur of each one in the background, which tells the retoucher how clearly they show. */
function withBlur(people: People, image: FrameImage): People {
  const blurs = blurOfBoxes(
    image,
    people.background.map(({ box }) => box),
  );
  return {
    ...people,
    background: people.background.map((person, index) => ({ ...person, blurSigmaPx: blurs[index] ?? null })),
  };
}

/**
 * Everything that is measured on one frame, from its bytes: decoded once, networks run once, pictures for the documents taken.
 * Depends on the bytes and the measurement version alone.
 *
 * @param contentHash SHA-256 of the bytes, where it is known already.
 * @throws CodedError of kind `frame` where the bytes are no picture that can be read.
 */
export async function measureFrame(
  bytes: Buffer,
  contentHash = createHash('sha256').update(bytes).digest('hex'),
  observe: Observe = unobserved,
): Promise<MeasuredFrame> {
  const { image, file, capture } = await observe('decode', () => decodeFrame(bytes));
  const found = await observe('people', () => findPeople(image));
  const masked = await observe('masks', () => drawMasks(image, found));
  const people = await observe('blur of people', () => withBlur(masked.people, image));
  const regions = await observe('regions', () => findRegions(image, people));
  const { pictures, evidence } = await observe('pictures', () => takeEvidence(image, regions));
  const measurement: Measurement = {
    contentHash,
    file,
    capture,
    people,
    framing: await observe('framing', () => measureFraming(image, people)),
    sharpness: await observe('sharpness', () => measureSharpness(image, regions)),
    exposure: await observe('exposure', () => measureExposure(image, regions, capture)),
    colour: await observe('colour', () => measureColour(image, regions, people)),
    likeness: await observe('likeness', () => measureLikeness(image)),
    pictures: [...pictures],
    tag: await observe('tag', () => readTag(image.analysis)),
  };
  return { measurement, evidence: [...evidence, ...masked.evidence] };
}
