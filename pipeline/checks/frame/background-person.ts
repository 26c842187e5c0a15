import type { FrameCheck, Observation } from '../../contracts/check.ts';
import { type Effort, efforts } from '../../contracts/finding.ts';
import type { BackgroundPerson } from '../../contracts/measurement/people.ts';
import { notApplicable, sentence, unmeasured } from '../observed.ts';
import { amount } from '../words.ts';

function observe(
  person: BackgroundPerson,
  index: number,
  subjectBlurPx: number | null,
): readonly Observation[] {
  const common = {
    group: `person ${index}`,
    region: person.box,
    data: {
      share: person.shareOfFrame,
      overlap: person.overlapWithSubject,
      cutBy: person.cutBy,
      mayBe: person.mayBe,
      // Within the tenth that the blur estimator is held to, a person is as sharp as the model.
      sharp:
        person.blurSigmaPx !== null && subjectBlurPx !== null && person.blurSigmaPx <= subjectBlurPx * 1.1,
    },
  };
  if (person.mayBe !== null) return [{ ...common, quantity: 'unsureShare', value: person.shareOfFrame }];
  return [
    { ...common, quantity: 'share', value: person.shareOfFrame },
    { ...common, quantity: 'overlap', value: person.overlapWithSubject },
  ];
}

/**
 * One finding a person. The effort class is the graver of two: by share of the frame, and by how much of the person overlaps the
 * model, whose hair and cloth then have to be kept along the edge. What may be no live person is only noted.
 */
export const backgroundPerson: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'background-person',
    title: 'Background person',
    what: 'Every person besides the models, with an effort class from share of frame and overlap with the model.',
    quantities: {
      share: {
        bad: 'above',
        unit: 'share',
        meaning: "share of the frame that the person's box covers",
        levels: ['light', 'moderate', 'heavy', 'reject'],
      },
      overlap: {
        bad: 'above',
        unit: 'share',
        meaning: "share of the person's box that overlaps the model's box",
        levels: ['moderate', 'heavy'],
      },
      unsureShare: {
        bad: 'above',
        unit: 'share',
        meaning: 'share of the frame covered by what may be a statue, poster or reflection',
        levels: ['note'],
      },
    },
    levels: { note: 'note', light: 'cleanup', moderate: 'cleanup', heavy: 'cleanup', reject: 'reject' },
  },
  observe: ({ measurement: { people, sharpness } }) => {
    if (people.reason.background !== undefined) {
      return unmeasured(
        'Background people not measured',
        `${sentence(people.reason.background, '')} Look for people behind the model.`,
      );
    }
    if (people.background.length === 0) return notApplicable('Nobody was found besides the models.');
    const blur = sharpness.garment?.blurSigmaPx ?? sharpness.face?.blurSigmaPx ?? null;
    return { observations: people.background.flatMap((person, index) => observe(person, index, blur)) };
  },
  describe: ({ data }, { level }) => {
    const share = amount(Number(data?.share), 'share');
    if (typeof data?.mayBe === 'string') {
      return {
        title: 'Figure in the background',
        detail: `A figure on ${share} of the frame may be ${data.mayBe} rather than a person. Look, and paint it out if it disturbs.`,
      };
    }
    const place = [
      data?.cutBy === null ? '' : `, cut by the ${data?.cutBy} edge`,
      Number(data?.overlap) > 0
        ? `, ${amount(Number(data?.overlap), 'share')} of it overlapping the model`
        : '',
      data?.sharp ? ', as sharp as the model' : '',
    ].join('');
    const what = `A person covers ${share} of the frame${place}.`;
    if (level === 'reject') {
      return {
        title: 'Background person, too large to paint out',
        detail: `${what} Shoot again with the background clear.`,
      };
    }
    const effort = efforts.find((name): name is Effort => name === level);
    return {
      title: `Background person, ${level} work`,
      detail: `${what} Paint the person out.`,
      ...(effort && { effort }),
    };
  },
};
