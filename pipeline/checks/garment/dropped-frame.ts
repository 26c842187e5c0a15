import { type GarmentCheck, standardLevels } from '../../contracts/check.ts';
import { observed } from '../observed.ts';
import { count, fileNames } from '../words.ts';

/** Says which frames the garment goes on without: they cost the garment nothing by themselves, but nobody should wonder where they went. */
export const droppedFrame: GarmentCheck = {
  level: 'garment',
  meta: {
    id: 'dropped-frame',
    title: 'Frames left out',
    what: 'Rejected and unreadable frames, which are left out of the delivery.',
    quantities: {
      dropped: {
        bad: 'above',
        unit: 'frames',
        meaning: 'rejected and unreadable frames of the garment',
        levels: ['note', 'cleanup', 'reject'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ frames }) => {
    const rejected = frames.filter(({ verdict }) => verdict === 'reject').map(({ id }) => id);
    const unreadable = frames.filter(({ verdict }) => verdict === 'unreadable').map(({ id }) => id);
    return observed({
      quantity: 'dropped',
      value: rejected.length + unreadable.length,
      frames: [...rejected, ...unreadable],
      data: { rejected: fileNames(rejected), unreadable: fileNames(unreadable), all: frames.length },
    });
  },
  describe: ({ value, data }) => ({
    title: 'Frames left out',
    detail: [
      `${value} of ${count(Number(data?.all), 'frame')} cannot be delivered.`,
      data?.rejected ? `Rejected: ${data.rejected}.` : '',
      data?.unreadable ? `Unreadable: ${data.unreadable}.` : '',
      'Leave them out of the delivery.',
    ]
      .filter((part) => part !== '')
      .join(' '),
  }),
};
