import type { FrameImage, Mask } from '../../contracts/frame-image.ts';
import type { People } from '../../contracts/measurement/people.ts';
import { encodeMask } from '../../decode/pictures.ts';
import type { Evidence } from '../evidence.ts';
import { outlinePerson } from './person-outline.ts';

export interface MaskedPeople {
  readonly people: People;
  readonly evidence: readonly Evidence[];
}

/** Takes out of a mask what the others cover: the model stands in front, and nothing of her is to be painted out. */
function without(mask: Mask, others: readonly Mask[]): Mask {
  const data = mask.data.slice();
  for (const other of others) {
    for (let at = 0; at < data.length; at++) {
      if (data[at] !== 0) data[at] = Math.min(data[at]!, 255 - other.data[at]!);
    }
  }
  return { width: mask.width, height: mask.height, data };
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
    evidence.push({ name, bytes: await encodeMask(without(mask, subjectMasks)) });
    background.push({ ...person, mask: name, maskKind: kind });
  }
  return { people: { ...people, subjects, background }, evidence };
}
