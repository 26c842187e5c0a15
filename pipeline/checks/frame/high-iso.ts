import { type FrameCheck, standardLevels } from '../../contracts/check.ts';
import { notApplicable, observed } from '../observed.ts';
import { against } from '../words.ts';

export const highIso: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'high-iso',
    title: 'High ISO',
    what: 'The ISO speed: noise from a high one hides the texture of the cloth.',
    quantities: {
      iso: {
        bad: 'above',
        unit: 'ISO',
        meaning: 'the ISO speed the camera recorded',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement: { capture } }) =>
    capture.iso === null
      ? notApplicable('The file does not say which ISO was used.')
      : observed({ quantity: 'iso', value: capture.iso }),
  describe: ({ value }, { limit }) => {
    const shown = against(Number(value), Number(limit), 'ISO');
    return {
      title: 'High ISO',
      detail: `Shot at ${shown.value}, above ${shown.limit}. Look at the cloth at 100 % for noise; add light or open the aperture next time.`,
    };
  },
};
