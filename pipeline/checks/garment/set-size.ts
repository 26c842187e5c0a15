import { type GarmentCheck, standardLevels } from '../../contracts/check.ts';
import { observed } from '../observed.ts';
import { count } from '../words.ts';

/** Counts the frames that can be delivered: rejected and unreadable ones do not fill a set. */
export const setSize: GarmentCheck = {
  level: 'garment',
  meta: {
    id: 'set-size',
    title: 'Number of frames',
    what: 'How many frames of the garment can be delivered: too few leave the buyer guessing, too many are not shown.',
    quantities: {
      fewest: {
        bad: 'below',
        unit: 'frames',
        meaning: 'frames that pass or need cleanup; fewer than this is too few',
        levels: ['note', 'cleanup', 'reject'],
      },
      most: {
        bad: 'above',
        unit: 'frames',
        meaning: 'frames that pass or need cleanup; more than this is too many',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ frames }) => {
    const usable = frames.filter(({ verdict }) => verdict === 'pass' || verdict === 'cleanup').length;
    const data = { delivered: frames.length, dropped: frames.length - usable };
    return observed({ quantity: 'fewest', value: usable, data }, { quantity: 'most', value: usable, data });
  },
  describe: ({ quantity, value, data }, { limit }) => {
    const dropped = data?.dropped ? `, as ${data.dropped} of ${data.delivered} cannot be used` : '';
    return quantity === 'fewest'
      ? {
          title: 'Too few frames',
          detail: `The set has ${count(Number(value), 'usable frame')}${dropped}; the store wants at least ${limit}. Add frames from the card, or shoot more.`,
        }
      : {
          title: 'Too many frames',
          detail: `The set has ${count(Number(value), 'usable frame')}; the store takes at most ${limit}. Choose the best and leave the others out.`,
        };
  },
};
