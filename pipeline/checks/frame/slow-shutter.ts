import { type FrameCheck, standardLevels } from '../../contracts/check.ts';
import { notApplicable, observed } from '../observed.ts';
import { amount } from '../words.ts';

/** The rule of thumb for a hand-held camera: no longer than one second over the focal length. The blur itself is judged elsewhere. */
export const slowShutter: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'slow-shutter',
    title: 'Slow shutter',
    what: 'Exposure time against one second over the 35 mm equivalent focal length: longer risks camera shake.',
    quantities: {
      exposureTime: {
        bad: 'above',
        unit: 'times',
        meaning: 'exposure time divided by one second over the 35 mm equivalent focal length in mm',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement: { capture } }) => {
    // Without the 35 mm equivalent the lens's own focal length is used: no camera this side of medium format has a longer limit.
    const focalMm = capture.focalLength35mm ?? capture.focalLengthMm;
    if (capture.exposureTimeS === null || focalMm === null) {
      return notApplicable('The file does not say exposure time or focal length.');
    }
    return observed({
      quantity: 'exposureTime',
      value: capture.exposureTimeS * focalMm,
      shown: { factor: 1 / focalMm, unit: 's' },
      data: { exposureTimeS: capture.exposureTimeS, focalMm, equivalent: capture.focalLength35mm !== null },
    });
  },
  describe: ({ data }, { limit }) => {
    const longestS = Number(limit) / Number(data?.focalMm);
    return {
      title: 'Slow shutter',
      detail:
        `Exposed for ${amount(Number(data?.exposureTimeS), 's')}, longer than ${amount(longestS, 's')} for ${amount(Number(data?.focalMm), 'mm', 3)}` +
        `${data?.equivalent ? ' (35 mm equivalent)' : ''}: hand shake is likely. Use ${amount(longestS, 's')} or faster, or a tripod.`,
    };
  },
};
