import { type FrameCheck, standardLevels } from '../../contracts/check.ts';
import { observed } from '../observed.ts';
import { listing } from '../words.ts';

export const wrongFormat: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'wrong-format',
    title: 'File format not accepted',
    what: 'The file format, told from the bytes, against those the store accepts; files that hold more than one picture.',
    quantities: {
      format: {
        bad: 'outside',
        unit: 'format',
        meaning: 'the file format, from the bytes and not from the name',
        unless: 'the store accepts it (`delivery.formats`)',
        severity: 'cleanup',
      },
      pictures: {
        bad: 'above',
        unit: 'frames',
        meaning: 'pictures in one file (animation, pages)',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement: { file }, delivery }) =>
    observed(
      { quantity: 'format', value: file.format, accepted: delivery.formats },
      { quantity: 'pictures', value: file.pages },
    ),
  describe: ({ quantity, value }, { limit }) =>
    quantity === 'format'
      ? {
          title: 'File format not accepted',
          detail: `The file is ${String(value).toUpperCase()}; the store accepts ${listing(String(limit).toUpperCase().split(', '), 'or')}. Export it again in that format.`,
        }
      : {
          title: 'More than one picture in the file',
          detail: `The file holds ${value} pictures; only the first was measured. Deliver each as a file of its own.`,
        },
};
