import { type FrameCheck, standardLevels } from '../../contracts/check.ts';
import { notApplicable, observed } from '../observed.ts';
import { against } from '../words.ts';

/** A warning beside the measured blur: the setting is a risk, the blur itself is judged by the checks of softness. */
export const wideAperture: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'wide-aperture',
    title: 'Wide aperture',
    what: 'The f-number: wider than about f/2 one eye or the cloth easily falls out of focus.',
    quantities: {
      fNumber: {
        bad: 'below',
        unit: 'f-number',
        meaning: 'the f-number the camera recorded',
        levels: ['note'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement: { capture } }) =>
    capture.fNumber === null
      ? notApplicable('The file does not say which aperture was used.')
      : observed({ quantity: 'fNumber', value: capture.fNumber }),
  describe: ({ value }, { limit }) => {
    const shown = against(Number(value), Number(limit), 'f-number');
    return {
      title: 'Wide aperture',
      detail: `Shot at ${shown.value}, wider than ${shown.limit}: the eyes are at risk. In natural light f/2.8 to f/4 is the usual range.`,
    };
  },
};
