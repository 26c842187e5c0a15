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
 * @throws CodedError of kind `frame` where the bytes are no picture that can be read.
 */
export async function measureFrame(bytes: Buffer): Promise<MeasuredFrame> {
  const { image, file, capture } = await decodeFrame(bytes);
  const masked = await drawMasks(image, await findPeople(image));
  const people = withBlur(masked.people, image);
  const regions = await findRegions(image, people);
  const { pictures, evidence } = await takeEvidence(image, regions);
  const measurement: Measurement = {
    contentHash: createHash('sha256').update(bytes).digest('hex'),
    file,
    capture,
    people,
    framing: await measureFraming(image, people),
    sharpness: measureSharpness(image, regions),
    exposure: measureExposure(image, regions, capture),
    colour: measureColour(image, regions, people),
    likeness: measureLikeness(image),
    pictures: [...pictures],
    tag: await readTag(image.analysis),
  };
  return { measurement, evidence: [...evidence, ...masked.evidence] };
}
