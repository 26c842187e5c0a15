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
  // A blur of exactly nothing has no ratio; a thousandth of a px is far below what can be measured.
  const blurRatio =
    person.blurSigmaPx === null || subjectBlurPx === null
      ? null
      : person.blurSigmaPx / Math.max(subjectBlurPx, 0.001);
  const common = {
    group: `person ${index}`,
    region: person.box,
    data: {
      share: person.shareOfFrame,
      overlap: person.overlapWithSubject,
      cutBy: person.cutBy,
      standingShare: person.standingShare,
      mayBe: person.mayBe,
      blurRatio,
    },
  };
  if (person.mayBe !== null) return [{ ...common, quantity: 'unsureShare', value: person.shareOfFrame }];
  const values = [
    ['share', person.shareOfFrame],
    ['overlap', person.overlapWithSubject],
    ['gap', person.distanceToSubject],
    ['blurRatio', blurRatio],
  ] as const;
  return values.flatMap(([quantity, value]) => (value === null ? [] : [{ ...common, quantity, value }]));
}

type Data = NonNullable<Observation['data']>;

/** What there is to see of the person, for the retoucher. */
function appearance(quantity: string, { share, overlap, cutBy, standingShare, blurRatio }: Data): string {
  const parts = [
    typeof cutBy === 'string' ? `cut by the ${cutBy} edge` : '',
    // Nine tenths and more of a standing person is a whole one, as far as body points can tell.
    typeof standingShare === 'number' && standingShare < 0.9
      ? `about ${amount(standingShare, 'share')} of a standing person showing`
      : '',
    Number(overlap) > 0 ? `${amount(Number(overlap), 'share')} of the box overlapping the model's` : '',
    quantity === 'gap' ? 'close beside the model' : '',
    // Within the tenth that the blur estimator is held to, a person is as sharp as the model.
    typeof blurRatio === 'number' && blurRatio <= 1.1 ? 'as sharp as the model' : '',
  ].filter((part) => part !== '');
  return [`A person covers ${amount(Number(share), 'share')} of the frame`, ...parts].join(', ');
}

/**
 * One finding a person. The effort class is the gravest of four: share of the frame, overlap with the model and closeness to her
 * (hair and cloth then have to be kept along the edge), and blur (what stands behind a sharp person has to be rebuilt as sharp).
 * What may be no further live person is only noted.
 */
export const backgroundPerson: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'background-person',
    title: 'Background person',
    what: 'Every person besides the models, with an effort class: the gravest by share of frame, overlap, closeness to the model and blur.',
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
      gap: {
        bad: 'below',
        unit: 'share',
        meaning: "shortest distance to the model's box as a share of the frame's long edge",
        levels: ['moderate'],
      },
      blurRatio: {
        bad: 'below',
        unit: 'times',
        meaning: "the person's blur divided by the model's",
        levels: ['moderate'],
      },
      unsureShare: {
        bad: 'above',
        unit: 'share',
        meaning:
          'share of the frame covered by what may be a statue, poster or reflection, or part of somebody',
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
  describe: ({ quantity, data = {} }, { level }) => {
    if (typeof data.mayBe === 'string') {
      return {
        title: 'Figure in the background',
        detail: `A figure on ${amount(Number(data.share), 'share')} of the frame may be ${data.mayBe} rather than a further person. Look, and paint it out if it disturbs.`,
      };
    }
    const what = appearance(quantity, data);
    if (level === 'reject') {
      return {
        title: 'Background person, too large to paint out',
        detail: `${what}. Shoot again with the background clear.`,
      };
    }
    const effort = efforts.find((name): name is Effort => name === level);
    return {
      title: `Background person, ${level} work`,
      detail: `${what}. Paint the person out.`,
      ...(effort && { effort }),
    };
  },
};
