import { type FrameCheck, standardLevels } from '../../contracts/check.ts';
import { notApplicable, observed } from '../observed.ts';
import { amount } from '../words.ts';

/** With flash the exposure time alone sets how bright the surroundings are: too dark, and a day outdoors looks like night. */
export const darkBackground: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'dark-background',
    title: 'Dark background behind flash',
    what: 'Brightness of the background against the model where the flash fired.',
    quantities: {
      stops: {
        bad: 'below',
        unit: 'stops',
        meaning: 'background minus model, in stops of linear light, where the flash fired',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement: { capture, exposure } }) => {
    if (capture.flashFired !== true) return notApplicable('No flash fired, or the file does not say.');
    if (exposure.backgroundEvDifference === null)
      return notApplicable('Background or model could not be measured.');
    return observed({
      quantity: 'stops',
      value: exposure.backgroundEvDifference,
      data: { exposureTimeS: capture.exposureTimeS },
    });
  },
  describe: ({ value, data }, { limit }) => ({
    title: 'Dark background behind flash',
    detail:
      `The background is ${amount(-Number(value), 'stops')} darker than the model, more than the limit of ${amount(-Number(limit), 'stops')}. ` +
      `Expose longer${typeof data?.exposureTimeS === 'number' ? ` than ${amount(data.exposureTimeS, 's')}` : ''} (the flash stays the same), or lower the flash power and raise the ISO.`,
  }),
};
