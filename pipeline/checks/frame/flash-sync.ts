import { type FrameCheck, standardLevels } from '../../contracts/check.ts';
import { notApplicable, observed } from '../observed.ts';
import { against } from '../words.ts';

/** A shutter faster than the flash can follow leaves a dark band, unless the flash pulses through the whole exposure. */
export const flashSync: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'flash-sync',
    title: 'Shutter faster than flash sync',
    what: 'Exposure time of frames on which the flash fired: shorter than the sync time leaves a dark band.',
    quantities: {
      exposureTime: {
        bad: 'below',
        unit: 's',
        meaning: 'exposure time where the flash fired',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement: { capture } }) => {
    if (capture.flashFired !== true) return notApplicable('No flash fired, or the file does not say.');
    if (capture.exposureTimeS === null)
      return notApplicable('The file does not say how long the exposure was.');
    return observed({ quantity: 'exposureTime', value: capture.exposureTimeS });
  },
  describe: ({ value }, { limit }) => {
    const shown = against(Number(value), Number(limit), 's');
    return {
      title: 'Shutter faster than flash sync',
      detail: `The flash fired at ${shown.value}, shorter than the sync time of ${shown.limit}. Look for a dark band along one edge; set ${shown.limit} or longer, or high-speed sync.`,
    };
  },
};
