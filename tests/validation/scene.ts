import type { FrameImage } from '../../pipeline/contracts/frame-image.ts';
import type { People } from '../../pipeline/contracts/measurement/people.ts';
import type { Regions } from '../../pipeline/contracts/regions.ts';
import { decodeFrame } from '../../pipeline/decode/decode-frame.ts';
import { findPeople } from '../../pipeline/measure/people.ts';
import { findRegions } from '../../pipeline/measure/regions.ts';

/** A picture and what the networks see in it. */
export interface Scene {
  readonly image: FrameImage;
  readonly regions: Regions;
  readonly people: People;
}

/** @param bytes of a picture file. */
export async function look(bytes: Buffer): Promise<Scene> {
  const { image } = await decodeFrame(bytes);
  const people = await findPeople(image);
  return { image, people, regions: await findRegions(image, people) };
}
