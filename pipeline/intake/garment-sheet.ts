/** Reads the garment sheet: a CSV with the columns `garment` and `frames`, optionally `required`, and any others. */
import { cleanText } from '../contracts/clean-text.ts';
import { crops, views } from '../contracts/measurement/people.ts';
import { codedError } from '../errors.ts';
import { type Pattern, parsePattern } from './glob.ts';
import { type Fail, readSheetText, sheetRecords } from './sheet-text.ts';

export interface SheetRow {
  /** As a spreadsheet counts: the header is row 1. */
  readonly row: number;
  readonly garment: string;
  /** What stands in `frames`, one entry a pattern; backslashes turned into `/`. */
  readonly globs: readonly { readonly text: string; readonly pattern: Pattern }[];
  readonly required: readonly string[] | null;
  readonly columns: Readonly<Record<string, string>>;
}

/** What a sheet may ask for in `required`. */
const requirable: readonly string[] = [...views, ...crops].filter(
  (word) => word !== 'unknown' && word !== 'none',
);

const failOn =
  (path: string): Fail =>
  (what, cause) =>
    codedError('sheet-not-read', { path, what }, cause);

/** @throws CodedError `sheet-not-read` or `sheet-row-wrong` (usage), naming the row. */
export async function readGarmentSheet(path: string): Promise<readonly SheetRow[]> {
  return parseGarmentSheet(await readSheetText(path, failOn(path)), path);
}

/** @param path named in errors only. */
export function parseGarmentSheet(text: string, path: string): readonly SheetRow[] {
  const [header = [], ...records] = sheetRecords(text, failOn(path));
  const names = columnNames(header, path);
  const rows: SheetRow[] = [];
  const firstRowOf = new Map<string, number>();
  for (const [index, record] of records.entries()) {
    const row = index + 2;
    if (record.every((cell) => cell.trim() === '')) continue;
    const parsed = readRow(record, row, names, path);
    const key = parsed.garment.normalize('NFC').toLowerCase();
    const earlier = firstRowOf.get(key);
    if (earlier !== undefined) {
      const what = `the garment "${show(parsed.garment)}" stands in row ${earlier} already; put all its frames into one row, parted by ;`;
      throw codedError('sheet-row-wrong', { path, row, what });
    }
    firstRowOf.set(key, row);
    rows.push(parsed);
  }
  if (rows.length === 0) throw codedError('sheet-not-read', { path, what: 'it has no row below its header' });
  return rows;
}

interface ColumnNames {
  readonly garment: number;
  readonly frames: number;
  readonly required: number;
  readonly others: readonly { readonly name: string; readonly at: number }[];
}

function columnNames(header: readonly string[], path: string): ColumnNames {
  const names = header.map((name) => name.trim());
  const folded = names.map((name) => name.toLowerCase());
  const double = folded.find((name, i) => name !== '' && folded.indexOf(name) !== i);
  if (double !== undefined) {
    throw codedError('sheet-row-wrong', {
      path,
      row: 1,
      what: `there are two columns called "${show(double)}"`,
    });
  }
  for (const needed of ['garment', 'frames']) {
    if (folded.includes(needed)) continue;
    const seen = names.filter((name) => name !== '').map((name) => `"${show(name)}"`);
    const what = `a column "${needed}" is missing; the header has ${seen.length === 0 ? 'no names' : seen.join(', ')}`;
    throw codedError('sheet-row-wrong', { path, row: 1, what });
  }
  const own = ['garment', 'frames', 'required'];
  return {
    garment: folded.indexOf('garment'),
    frames: folded.indexOf('frames'),
    required: folded.indexOf('required'),
    others: names
      .map((name, at) => ({ name, at }))
      .filter(({ name, at }) => name !== '' && !own.includes(folded[at]!)),
  };
}

function readRow(record: readonly string[], row: number, names: ColumnNames, path: string): SheetRow {
  const wrong = (what: string): Error => codedError('sheet-row-wrong', { path, row, what });
  const cell = (at: number): string => (record[at] ?? '').trim();
  const beyond = record.findIndex(
    (value, at) =>
      value.trim() !== '' &&
      ![names.garment, names.frames, names.required].includes(at) &&
      !names.others.some((other) => other.at === at),
  );
  if (beyond !== -1) {
    throw wrong(
      `cell ${beyond + 1} ("${show(record[beyond]!)}") stands under no column name; a value that holds the separator needs quotes`,
    );
  }
  const garment = cell(names.garment);
  if (garment === '') throw wrong('the garment has no name');
  return {
    row,
    garment,
    globs: readGlobs(cell(names.frames), wrong),
    required: names.required === -1 ? null : readRequired(cell(names.required), wrong),
    columns: Object.fromEntries(names.others.map(({ name, at }) => [name, cell(at)])),
  };
}

type Wrong = (what: string) => Error;

function readGlobs(text: string, wrong: Wrong): SheetRow['globs'] {
  const parts = text
    .split(/[;\n\r]+/)
    .map((part) =>
      part
        .trim()
        .replaceAll('\\', '/')
        .replace(/^(\.\/)+/, ''),
    )
    .filter((part) => part !== '');
  if (parts.length === 0) throw wrong('"frames" is empty: give file names or patterns, parted by ;');
  return parts.map((part) => {
    if (/^\/|^[a-z]:/i.test(part) || part.split('/').includes('..')) {
      throw wrong(`"${show(part)}" leads outside the delivery; a pattern starts inside it and never goes up`);
    }
    if (part.length > 1000) throw wrong(`the pattern "${show(part)}" is longer than 1000 characters`);
    const whole = part.endsWith('/') ? `${part}**` : part;
    const pattern = parsePattern(whole);
    if (pattern === null) throw wrong(`the braces of "${show(part)}" stand for more than 2000 names`);
    return { text: part, pattern };
  });
}

function readRequired(text: string, wrong: Wrong): readonly string[] | null {
  const words = text
    .toLowerCase()
    .split(/[;,|\s]+/)
    .filter((word) => word !== '');
  for (const word of words) {
    if (requirable.includes(word)) continue;
    throw wrong(`"${show(word)}" in "required" is none of ${requirable.join(', ')}`);
  }
  return words.length === 0 ? null : [...new Set(words)];
}

function show(text: string): string {
  return cleanText(text, 80);
}
