import type { Box } from '../../contracts/box.ts';
import { type FrameCheck, type Observation, standardLevels } from '../../contracts/check.ts';
import type { FlashBand } from '../../contracts/measurement/exposure.ts';
import { notApplicable } from '../observed.ts';
import { against, amount } from '../words.ts';

function bandBox({ edge, reachShare }: FlashBand): Box {
  switch (edge) {
    case 'top':
      return [0, 0, 1, reachShare];
    case 'bottom':
      return [0, 1 - reachShare, 1, reachShare];
    case 'left':
      return [0, 0, reachShare, 1];
    case 'right':
      return [1 - reachShare, 0, reachShare, 1];
  }
}

/**
 * A shutter faster than the flash can follow leaves a dark band, unless the flash pulses through the whole exposure: the setting
 * alone is a warning, the band itself is the fault.
 */
export const flashSync: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'flash-sync',
    title: 'Shutter faster than flash sync',
    what: 'Exposure time of frames on which the flash fired, and the dark band that a shutter faster than flash sync leaves.',
    quantities: {
      exposureTime: {
        bad: 'below',
        unit: 's',
        meaning: 'exposure time where the flash fired',
        levels: ['note', 'cleanup'],
      },
      bandDepth: {
        bad: 'above',
        unit: 'stops',
        meaning: 'how much darker the band along one edge is than its neighbourhood, where the flash fired',
        levels: ['note', 'cleanup', 'reject'],
      },
      unsureBandDepth: {
        bad: 'above',
        unit: 'stops',
        meaning: 'the same where the file does not say whether a flash fired',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement: { capture, exposure } }) => {
    const observations: Observation[] = [];
    const data = { exposureTimeS: capture.exposureTimeS, edge: exposure.flashBand?.edge ?? null };
    if (exposure.flashBand !== null) {
      observations.push({
        // Without a flash in the camera's own record the band may be a kerb or a wall: see the measurement's own figures.
        quantity: capture.flashFired === true ? 'bandDepth' : 'unsureBandDepth',
        value: exposure.flashBand.depthStops,
        group: 'flash',
        region: bandBox(exposure.flashBand),
        data: { ...data, reach: exposure.flashBand.reachShare },
      });
    }
    if (capture.flashFired === true && capture.exposureTimeS !== null) {
      observations.push({ quantity: 'exposureTime', value: capture.exposureTimeS, group: 'flash', data });
    }
    return observations.length === 0
      ? notApplicable('No flash fired, or the file does not say so, and no band was found.')
      : { observations };
  },
  describe: ({ quantity, value, data }, { limit, severity }) => {
    if (quantity === 'exposureTime') {
      const shown = against(Number(value), Number(limit), 's');
      const look =
        data?.edge === null ? 'No dark band was found, but look along the edges' : 'Look at the band';
      return {
        title: 'Shutter faster than flash sync',
        detail: `The flash fired at ${shown.value}, shorter than the sync time of ${shown.limit}. ${look}; set ${shown.limit} or longer, or high-speed sync.`,
      };
    }
    const shown = against(Number(value), Number(limit), 'stops');
    const time = typeof data?.exposureTimeS === 'number' ? ` than ${amount(data.exposureTimeS, 's')}` : '';
    return {
      title: 'Dark band from the shutter',
      detail:
        `A band along the ${data?.edge} edge, ${amount(Number(data?.reach), 'share')} deep into the frame, is ${shown.value} darker, more than the limit of ${shown.limit}. ` +
        (severity === 'reject'
          ? `Shoot again with a longer exposure${time}, or high-speed sync.`
          : `Lift the band or crop it off; next time expose longer${time}, or use high-speed sync.`),
    };
  },
};
