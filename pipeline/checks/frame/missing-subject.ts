import { type FrameCheck, standardLevels } from '../../contracts/check.ts';
import { notApplicable, observed } from '../observed.ts';

/** A close detail of the cloth need not show a person; any other frame without one is a test frame, or the model was not found. */
export const missingSubject: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'missing-subject',
    title: 'No model found',
    what: 'Whether a model is found in the frame; a detail of the cloth needs none.',
    quantities: {
      subjects: {
        bad: 'below',
        unit: 'people',
        meaning: 'models found',
        levels: ['unmeasured', 'reject'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement: { framing, people } }) =>
    framing.crop === 'detail'
      ? notApplicable('A detail shows the cloth; no model is needed.')
      : observed({ quantity: 'subjects', value: people.subjects.length }),
  describe: (_, { severity }) => ({
    title: 'No model found',
    detail:
      severity === 'reject'
        ? 'No model was found in this frame. Take it out of the delivery, or shoot it again.'
        : 'No model was found in this frame, so it could not be judged. If it shows a close detail, look at it at 100 %; if it is a test frame, take it out.',
  }),
};
