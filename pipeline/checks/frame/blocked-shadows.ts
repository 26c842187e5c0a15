import { type FrameCheck, standardLevels } from '../../contracts/check.ts';
import { notApplicable, observed, sentence, unmeasured } from '../observed.ts';
import { subjectPart } from '../subject-part.ts';
import { noSubject } from '../visible.ts';
import { against } from '../words.ts';

/** Black cloth may be black; what counts is cloth without any detail left, every channel at the floor. */
export const blockedShadows: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'blocked-shadows',
    title: 'Blocked shadows on the garment',
    what: "Cloth with every channel at the floor of the file's own encoding: no detail is left in it.",
    quantities: {
      garmentShare: {
        bad: 'above',
        unit: 'share',
        meaning: 'share of the garment with every channel at the floor',
        levels: ['cleanup', 'reject'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement }) => {
    const { blockedShare, reason } = measurement.exposure;
    if (blockedShare === null) {
      return noSubject(measurement)
        ? notApplicable('No model was found.')
        : unmeasured(
            'Shadows not judged',
            `${sentence(reason.blockedShare, 'The garment was not found in the frame')} Look at the cloth for parts without detail.`,
          );
    }
    const region = subjectPart(measurement, 'garment');
    return observed({ quantity: 'garmentShare', value: blockedShare, ...(region && { region }) });
  },
  describe: ({ value }, { limit, severity }) => {
    const shown = against(Number(value), Number(limit), 'share');
    return {
      title: 'Blocked shadows on the garment',
      detail:
        `${shown.value} of the garment has no detail left in the shadows, more than the ${shown.limit} limit. ` +
        (severity === 'reject'
          ? 'Shoot again with more light on the garment.'
          : 'Develop the camera file again with lifted shadows.'),
    };
  },
};
