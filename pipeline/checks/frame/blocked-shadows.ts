import { type FrameCheck, type Observation, standardLevels } from '../../contracts/check.ts';
import { notApplicable, sentence, unmeasured } from '../observed.ts';
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
      share: {
        bad: 'above',
        unit: 'share',
        meaning: 'share of the garment with every channel at the floor',
        levels: ['cleanup', 'reject'],
      },
      largestPatch: {
        bad: 'above',
        unit: 'share',
        meaning: 'largest connected patch of it as a share of the garment',
        levels: ['cleanup', 'reject'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement }) => {
    const { blockedShare, largestBlockedBlobShare, reason } = measurement.exposure;
    if (blockedShare === null) {
      return noSubject(measurement)
        ? notApplicable('No model was found.')
        : unmeasured(
            'Shadows not judged',
            `${sentence(reason.blockedShare ?? reason.garment, 'The garment was not found in the frame')} Look at the cloth for parts without detail.`,
          );
    }
    const region = subjectPart(measurement, 'garment');
    const common = { group: 'garment', ...(region && { region }) };
    const observations: Observation[] = [{ ...common, quantity: 'share', value: blockedShare }];
    if (largestBlockedBlobShare !== null) {
      observations.push({ ...common, quantity: 'largestPatch', value: largestBlockedBlobShare });
    }
    return { observations };
  },
  describe: ({ quantity, value }, { limit, severity }) => {
    const shown = against(Number(value), Number(limit), 'share');
    const measured =
      quantity === 'largestPatch'
        ? `One patch of ${shown.value} of the garment has no detail left in the shadows`
        : `${shown.value} of the garment has no detail left in the shadows`;
    const remedy =
      severity === 'reject'
        ? 'Shoot again with more light on the garment: flash power, a reflector, or a higher ISO.'
        : 'Develop the camera file again with lifted shadows.';
    return {
      title: 'Blocked shadows on the garment',
      detail: `${measured}, more than the ${shown.limit} limit. ${remedy}`,
    };
  },
};
