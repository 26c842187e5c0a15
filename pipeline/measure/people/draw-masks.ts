import type { FrameImage, Mask } from '../../contracts/frame-image.ts';
import type { People } from '../../contracts/measurement/people.ts';
import { encodeMask } from '../../decode/pictures.ts';
import type { Evidence } from '../evidence.ts';
import { outlinePerson } from './person-outline.ts';

export interface MaskedPeople {
  readonly people: People;
  readonly evidence: readonly Evidence[];
}

/** Takes out of a mask what another one covers: the model stands in front, and nothing of her is to be painted out. */
function takeOut(data: Uint8Array, other: Uint8Array): void {
  for (let at = 0; at < data.length; at++) {
    const left = 255 - other[at]!;
    if (data[at]! > left) data[at] = left;
  }
}

/**
 * A mask of every subject and every background person, as pictures beside the measurement.
 * @param image only `analysis` is looked at.
 */
export async function drawMasks(image: FrameImage, people: People): Promise<MaskedPeople> {
  const evidence: Evidence[] = [];
  const subjectMasks: Mask[] = [];
  const subjects: People['subjects'] = [];
  for (const [index, subject] of people.subjects.entries()) {
    const { kind, mask } = await outlinePerson(image.analysis, subject.box);
    const name = `mask-subject-${index}.png`;
    subjectMasks.push(mask);
    evidence.push({ name, bytes: await encodeMask(mask) });
    subjects.push({ ...subject, mask: name, maskKind: kind });
  }
  const background: People['background'] = [];
  for (const [index, person] of people.background.entries()) {
    const { kind, mask } = await outlinePerson(image.analysis, person.box);
    const name = `mask-person-${index}.png`;
    for (const subject of subjectMasks) takeOut(mask.data, subject.data);
    evidence.push({ name, bytes: await encodeMask(mask) });
    background.push({ ...person, mask: name, maskKind: kind });
  }
  return { people: { ...people, subjects, background }, evidence };
}
