import type { FrameImage } from '../contracts/frame-image.ts';
import type { People } from '../contracts/measurement/people.ts';
import type { Regions } from '../contracts/regions.ts';
import { subjectBody } from './people/subject-body.ts';
import { frameBody } from './regions/body-frame.ts';
import { distinctFaces, type FoundFace, findFace } from './regions/faces.ts';
import { labelParts } from './regions/label-parts.ts';
import { backgroundMask, type LabelledPatch, likeliestParts, maskOfParts } from './regions/masks.ts';
import { cutPatch } from './regions/patch.ts';
import { coverOnPatch } from './regions/person-cover.ts';

const noSubject = 'No model was found in the frame.';

/**
 * Where the subjects' cloth, skin, faces and eyes are, and what is background.
 *
 * @param image eyes are looked at in native resolution, everything else on `analysis` where that is fine enough
 * @param people subjects with their body points, and background people
 * @returns masks of the size of `image.analysis`, coverage 0..255, 128 and more is inside; faces in the order of their scores
 *
 * Person masks: BlazePose (arXiv:2006.10204). Parts: place on the body times colours learnt from the frame, see
 * `regions/label-parts.ts`. Faces: MediaPipe's detector, mesh and iris networks.
 */
export async function findRegions(image: FrameImage, people: People): Promise<Regions> {
  const { analysis } = image;
  const faces: FoundFace[] = [];
  const patches: LabelledPatch[] = [];
  for (const subject of people.subjects) {
    const face = await findFace(image, subject);
    if (face !== null) faces.push(face);
    const body = await subjectBody(analysis, subject.box);
    const patch = cutPatch(analysis, subject.box);
    const frame = frameBody(subject, body, face, patch, analysis);
    const probabilities = labelParts(patch, frame, coverOnPatch(body, patch));
    patches.push({ patch, labels: likeliestParts(patch, probabilities) });
  }
  const found = distinctFaces(faces);
  const subject = maskOfParts(patches, ['cloth', 'skin', 'hair', 'shoe', 'bag'], analysis);
  const garment = maskOfParts(patches, ['cloth'], analysis);
  const skin = maskOfParts(patches, ['skin'], analysis);
  const background = backgroundMask(
    subject,
    people.background.map(({ box }) => box),
    analysis,
  );
  const nobody = people.subjects.length === 0;
  const reason: Record<string, string> = {};
  if (subject === null) reason.subject = nobody ? noSubject : 'The model cannot be told from the background.';
  if (garment === null) reason.garment = nobody ? noSubject : 'No cloth of the model is seen.';
  if (skin === null) reason.skin = nobody ? noSubject : 'No bare skin of the model is seen.';
  if (found.length === 0) {
    reason.faces = nobody
      ? noSubject
      : 'No face of the model is seen: turned away, covered or outside the frame.';
  }
  if (background === null) reason.background = 'The model and other people fill the frame.';
  return { subject, garment, skin, faces: found.map(({ region }) => region), background, reason };
}
