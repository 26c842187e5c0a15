import { type FrameCheck, type Observation, standardLevels } from '../../contracts/check.ts';
import { notApplicable, sentence, unmeasured } from '../observed.ts';
import { noSubject } from '../visible.ts';
import { against, amount } from '../words.ts';

/**
 * Detail lost at the ceiling does not come back. The size of the largest patch tells lost cloth from the points of light that
 * buttons, sequins and jewellery always have; the share counts as well, because much cloth can be lost in many small patches.
 */
export const clippedHighlights: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'clipped-highlights',
    title: 'Clipped highlights',
    what: "Cloth or skin with a channel at the ceiling of the file's own encoding: detail lost there does not come back.",
    quantities: {
      garmentShare: {
        bad: 'above',
        unit: 'share',
        meaning: 'share of the garment that is clipped in at least one channel',
        levels: ['cleanup', 'reject'],
      },
      largestPatch: {
        bad: 'above',
        unit: 'share',
        meaning:
          'largest connected clipped patch as a share of the garment; smaller ones are points of light',
        levels: ['cleanup', 'reject'],
      },
      skinShare: {
        bad: 'above',
        unit: 'share',
        meaning: 'share of the skin that is clipped in at least one channel',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement }) => {
    const { clippedShare, largestClippedBlobShare, largestClippedBlobBox, reason } = measurement.exposure;
    const observations: Observation[] = [];
    const region = largestClippedBlobBox === null ? {} : { region: largestClippedBlobBox };
    const data = { patch: largestClippedBlobShare, share: clippedShare.garment };
    if (clippedShare.garment !== null) {
      observations.push({
        quantity: 'garmentShare',
        value: clippedShare.garment,
        group: 'garment',
        data,
        ...region,
      });
    }
    if (largestClippedBlobShare !== null) {
      observations.push({
        quantity: 'largestPatch',
        value: largestClippedBlobShare,
        group: 'garment',
        data,
        ...region,
      });
    }
    if (clippedShare.skin !== null) observations.push({ quantity: 'skinShare', value: clippedShare.skin });
    if (clippedShare.garment === null && !noSubject(measurement)) {
      return unmeasured(
        'Highlights not judged',
        `${sentence(reason['clippedShare.garment'] ?? reason.garment ?? reason.clippedShare, 'The garment was not found in the frame')} Look at the cloth for burnt-out parts.`,
      );
    }
    if (observations.length === 0) return notApplicable('No model was found.');
    return { observations };
  },
  describe: (observation, { limit, severity }) => {
    const shown = against(Number(observation.value), Number(limit), 'share');
    if (observation.quantity === 'skinShare') {
      return {
        title: 'Clipped highlights on the skin',
        detail: `${shown.value} of the skin is clipped, more than the ${shown.limit} limit. Expose less, or turn the model out of the hard light.`,
      };
    }
    const { patch, share } = observation.data ?? {};
    const measured =
      observation.quantity === 'largestPatch'
        ? `One clipped patch covers ${shown.value} of the garment, more than the ${shown.limit} limit`
        : `${shown.value} of the garment is clipped, more than the ${shown.limit} limit`;
    const other =
      observation.quantity === 'largestPatch'
        ? typeof share === 'number' && `; ${amount(share, 'share')} is clipped in all.`
        : typeof patch === 'number' && `; the largest patch is ${amount(patch, 'share')}.`;
    const remedy =
      severity === 'reject'
        ? 'Shoot again with less exposure, or turn the model out of the hard light.'
        : 'Develop the camera file again with less exposure; if the detail is gone there too, choose another frame.';
    return { title: 'Clipped highlights on the garment', detail: `${measured}${other || '.'} ${remedy}` };
  },
};
