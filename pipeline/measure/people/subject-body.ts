import type { Box } from '../../contracts/box.ts';
import type { Rgb8 } from '../../contracts/frame-image.ts';
import { maskPerson, type PersonMask } from '../networks/blazepose.ts';

/** Results by picture, then by box: the picture's entry goes when the picture does. */
const known = new WeakMap<Rgb8, Map<string, Promise<PersonMask>>>();

/**
 * Mask and 33 body points of one person, run once for each picture and box however many measurements ask.
 * @param image 8-bit sRGB, usually `FrameImage.analysis`.
 * @param box the person, shares of the picture.
 */
export function subjectBody(image: Rgb8, box: Box): Promise<PersonMask> {
  let ofPicture = known.get(image);
  if (ofPicture === undefined) {
    ofPicture = new Map();
    known.set(image, ofPicture);
  }
  const key = box.join(' ');
  let body = ofPicture.get(key);
  if (body === undefined) {
    body = maskPerson(image, box);
    ofPicture.set(key, body);
  }
  return body;
}
