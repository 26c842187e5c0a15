import { type FileCheck, standardLevels } from '../../contracts/check.ts';
import { sentence, unmeasured } from '../observed.ts';

/** The one check that needs no limit and cannot be switched off: a frame nobody could read is never a pass. */
export const unreadableFile: FileCheck = {
  level: 'file',
  meta: {
    id: 'unreadable-file',
    title: 'Unreadable file',
    what: 'A file that could not be decoded or measured, with the reason.',
    quantities: {},
    levels: standardLevels,
  },
  observe: ({ reason }) =>
    unmeasured(
      'Unreadable file',
      sentence(reason, 'The file could not be read: copy it again from the card'),
    ),
  describe: () => ({ title: 'Unreadable file', detail: '' }),
};
