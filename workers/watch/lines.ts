/** What a watch says on the terminal after a change: short lines for a dim screen, nothing told by colour. */
import { cleanText } from '../../pipeline/contracts/clean-text.ts';
import type { Results } from '../../pipeline/contracts/results.ts';
import { frameLine, onSetLines } from '../../pipeline/report/on-set.ts';
import type { News } from './watch-folder.ts';

/** Columns of the plainest terminal. */
const columns = 80;
/** Longer than any sentence of ours; what is longer came with a file. */
const longestText = 2000;

/**
 * Text without control characters over as many lines as it needs.
 * @param mark stands before the first line; the others are set in by as much.
 */
function wrapped(text: string, mark = ''): readonly string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of cleanText(text, longestText).split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (mark.length + longer.length <= columns || line === '') line = longer;
    else {
      lines.push(line);
      line = word;
    }
  }
  return [...lines, line].map((each, index) => (index === 0 ? mark : ' '.repeat(mark.length)) + each);
}

const fileName = (id: string): string => id.split('/').at(-1) ?? id;

/** One line a frame that came, was shot again or was taken away. */
export function frameLines({ measured, backlog, gone }: News, results: Results): readonly string[] {
  const frameOf = new Map(results.frames.map((frame) => [frame.id, frame]));
  const came = measured.filter(({ frameId }) => !backlog.has(frameId));
  return [
    ...gone.map((id) => `${fileName(id)}: no longer there`),
    ...came.map(({ frameId }) => {
      const frame = frameOf.get(frameId);
      return frame === undefined ? `${fileName(frameId)}: a tag, not delivered` : frameLine(frame);
    }),
  ].flatMap((line) => wrapped(line));
}

/** The garment in hand: what is missing and what to shoot again, each such line with a mark before it. */
export function garmentLines(garmentId: string, results: Results): readonly string[] {
  const garment = results.garments.find(({ id }) => id === garmentId);
  if (garment === undefined) return [];
  const [head, ...rest] = onSetLines(garment, results);
  return [
    '',
    ...wrapped(head?.text ?? ''),
    ...rest.flatMap(({ now, text }) => wrapped(text, now ? '! ' : '- ')),
    '',
  ];
}
