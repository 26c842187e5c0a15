import { type FrameCheck, standardLevels } from '../../contracts/check.ts';
import { observed } from '../observed.ts';
import { listing } from '../words.ts';

export const wrongFormat: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'wrong-format',
    title: 'File format not accepted',
    what: 'The file format, told from the bytes, against those the store accepts.',
    quantities: {
      format: {
        bad: 'outside',
        unit: 'format',
        meaning: 'the file format, from the bytes and not from the name',
        unless: 'the store accepts it (`delivery.formats`)',
        severity: 'cleanup',
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement, delivery }) =>
    observed({
      quantity: 'format',
      value: measurement.file.format,
      accepted: delivery.formats,
      data: {
        accepted: listing(
          delivery.formats.names.map((name) => name.toUpperCase()),
          'or',
        ),
      },
    }),
  describe: ({ value, data }) => ({
    title: 'File format not accepted',
    detail: `The file is ${String(value).toUpperCase()}; the store accepts ${data?.accepted}. Export it again in that format.`,
  }),
};
