import { decodeFrame } from '../decode/decode-frame.ts';
import { measureFraming } from '../measure/framing.ts';
import { findPeopleAndCandidates } from '../measure/people.ts';
import type { MeasuredFrame } from './figures.ts';

/**
 * The parts of a measurement that the labels speak of.
 * @throws CodedError of kind `frame` where the bytes are no picture that can be read.
 */
export async function measurePhotograph(bytes: Buffer): Promise<Omit<MeasuredFrame, 'file'>> {
  const { image } = await decodeFrame(bytes);
  const { people, candidates } = await findPeopleAndCandidates(image);
  const { width, height } = image.srgb;
  const scale = width / image.analysis.width;
  return {
    width,
    height,
    people,
    framing: await measureFraming(image, people),
    candidates: candidates.map(({ box, score }) => ({
      box: [box[0] * scale, box[1] * scale, box[2] * scale, box[3] * scale],
      score,
    })),
  };
}
