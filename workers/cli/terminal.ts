import { cleanText } from '../../pipeline/contracts/clean-text.ts';

/** Longer than any sentence of ours; what is longer came with a file. */
const longestLine = 2000;

/** Where a command speaks. `out` carries its result, `err` everything on the way there. */
export interface Terminal {
  readonly out: NodeJS.WritableStream;
  readonly err: NodeJS.WritableStream & { readonly isTTY?: boolean };
}

/** Text without control or reordering characters, line by line: names of files can hold any of them. */
export function printable(text: string): string {
  return text
    .split('\n')
    .map((line) => cleanText(line, longestLine))
    .join('\n');
}

export function say(stream: NodeJS.WritableStream, text: string): void {
  stream.write(`${printable(text)}\n`);
}
