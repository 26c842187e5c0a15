import type { FrameResult, GarmentResult, Results } from '../contracts/results.ts';

/** Names of delivered files by the store's own pattern, such as `{sku}_{view}_{n}`. */

export const defaultPattern = '{garment}/{garment}_{n}_{view}';

/** What a pattern may hold besides the columns of the garment sheet. */
const ownTokens = ['garment', 'n', 'view', 'crop', 'file'] as const;

const token = /\{([^{}]*)\}/g;

/** Longest part of a name: a file name may have 255 bytes on common disks, and a letter may take four. */
const longestPart = 60;

/** Letters and digits of any script, `-`, `_` and `.` inside: a name that every system and store takes. */
function safe(text: string): string {
  const plain = text
    .normalize('NFC')
    .replace(/[^\p{L}\p{N}._-]+/gu, '-')
    .replace(/^[-.]+|[-.]+$/g, '');
  return [...plain].slice(0, longestPart).join('') || 'x';
}

/** Names that Windows keeps for devices, with or without an ending. */
const device = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i;

function safePath(path: string): string {
  return path
    .split('/')
    .filter((part) => part !== '' && part !== '.' && part !== '..')
    .map((part) => (device.test(part) ? `_${part}` : part))
    .join('/');
}

/** What is wrong with a pattern, the rest of a sentence; `null` where nothing is. */
export function patternFault(pattern: string, columns: readonly string[]): string | null {
  const known = [...ownTokens, ...columns];
  for (const [, name = ''] of pattern.matchAll(token)) {
    if (!known.includes(name))
      return `{${name}} stands for nothing; it can hold ${known.map((each) => `{${each}}`).join(', ')}`;
  }
  const fixed = pattern.replace(token, '');
  if (/[{}]/.test(fixed)) return 'a brace opens or closes alone';
  if (/[^\p{L}\p{N}._/ -]/u.test(fixed))
    return 'besides braces it can hold letters, digits, - _ . blanks and /';
  if (safePath(pattern.replace(token, 'x')) === '' || /(^|\/)\.\.?(\/|$)/.test(pattern))
    return 'it leads to no file inside the folder';
  return null;
}

export interface PackagedName {
  readonly frame: FrameResult;
  readonly garment: GarmentResult;
  /** Path inside the package with its ending, `/` between folders; unique without regard to case. */
  readonly path: string;
}

/**
 * The frames that pass, with their names.
 * @param pattern checked by `patternFault` before.
 * @param endingOf ending of the delivered file, with its dot.
 */
export function packagedNames(
  results: Results,
  pattern: string,
  endingOf: (frame: FrameResult) => string,
): readonly PackagedName[] {
  const taken = new Set<string>();
  return results.garments.flatMap((garment) =>
    results.frames
      .filter((frame) => frame.garment === garment.id && frame.verdict === 'pass')
      .map((frame, index): PackagedName => {
        const values: Readonly<Record<string, string>> = {
          ...garment.columns,
          garment: garment.id,
          n: String(index + 1).padStart(2, '0'),
          view: frame.measurement?.framing.view ?? 'unknown',
          crop: frame.measurement?.framing.crop ?? 'none',
          file: (frame.id.split('/').at(-1) ?? '').replace(/\.[^.]*$/, ''),
        };
        const stem = safePath(pattern.replace(token, (_, name: string) => safe(values[name] ?? '')));
        const ending = endingOf(frame);
        let path = `${stem}${ending}`;
        for (let n = 2; taken.has(path.toLowerCase()); n += 1) path = `${stem}-${n}${ending}`;
        taken.add(path.toLowerCase());
        return { frame, garment, path };
      }),
  );
}
