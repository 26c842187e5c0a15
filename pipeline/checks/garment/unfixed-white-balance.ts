import { type FrameView, type SetCheck, standardLevels } from '../../contracts/check.ts';
import { notApplicable, observed } from '../observed.ts';
import { count, fileNames } from '../words.ts';

/** One body with or without flash is one set-up: the flash body and the natural-light body may well differ. */
function setUp({ measurement: { capture } }: FrameView): string {
  return JSON.stringify([capture.make, capture.model, capture.serial, capture.flashFired]);
}

const setting = ({ measurement: { capture } }: FrameView): string =>
  JSON.stringify([capture.whiteBalance, capture.colourTemperatureK]);

/** The frames of the set-up with the most white-balance settings, and how many it has. */
function mostMixed(frames: readonly FrameView[]): {
  readonly settings: number;
  readonly frames: readonly FrameView[];
} {
  const groups = new Map<string, FrameView[]>();
  for (const frame of frames) groups.set(setUp(frame), [...(groups.get(setUp(frame)) ?? []), frame]);
  return [...groups.values()]
    .map((group) => ({ settings: new Set(group.map(setting)).size, frames: group }))
    .reduce((most, group) => (group.settings > most.settings ? group : most));
}

/** Automatic white balance follows the scene, so the same cloth changes colour from frame to frame. What it did is judged by colour drift. */
export const unfixedWhiteBalance: SetCheck = {
  level: 'set',
  meta: {
    id: 'unfixed-white-balance',
    title: 'White balance not fixed',
    what: 'White balance left on automatic, or set differently within the set on the same camera body.',
    quantities: {
      automatic: {
        bad: 'above',
        unit: 'frames',
        meaning: 'frames of the set shot with automatic white balance',
        levels: ['note', 'cleanup'],
      },
      settings: {
        bad: 'above',
        unit: 'settings',
        meaning: 'different white-balance settings on one body within the set',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ frames }) => {
    const known = frames.filter(({ measurement }) => measurement.capture.whiteBalance !== null);
    if (known.length === 0) return notApplicable('The files do not say how white balance was set.');
    const automatic = known.filter(({ measurement }) => measurement.capture.whiteBalance === 'auto');
    const mixed = mostMixed(known);
    return observed(
      {
        quantity: 'automatic',
        value: automatic.length,
        frames: automatic.map(({ id }) => id),
        data: { known: known.length },
      },
      {
        quantity: 'settings',
        value: mixed.settings,
        frames: mixed.frames.map(({ id }) => id),
        data: { known: mixed.frames.length },
      },
    );
  },
  describe: ({ quantity, value, frames, data }) =>
    quantity === 'automatic'
      ? {
          title: 'White balance on automatic',
          detail: `${value} of ${count(Number(data?.known), 'frame')} were shot with automatic white balance (${fileNames(frames ?? [])}). Fix it for the whole garment, best from a grey card.`,
        }
      : {
          title: 'White balance changed within the set',
          detail: `${count(Number(value), 'white-balance setting')} on one body within ${count(Number(data?.known), 'frame')}. Set it once for a garment, best from a grey card.`,
        },
};
