/** Text of a sheet that a person keeps in a spreadsheet program, and its records, whatever that program wrote. */
import { readFile, stat } from 'node:fs/promises';
import { CsvError, parse } from 'csv-parse/sync';

/** The error of the sheet at hand; `what` is the rest of its sentence. */
export type Fail = (what: string, cause?: unknown) => Error;

/** A day has some 25 garments; a sheet of a whole season stays far below. */
const mostBytes = 10_000_000;

/** @throws what `fail` gives: not there, not a file, too large, not readable. */
export async function readSheetText(path: string, fail: Fail): Promise<string> {
  try {
    const facts = await stat(path);
    if (!facts.isFile()) throw fail('it is not a file');
    if (facts.size > mostBytes)
      throw fail(`it has ${facts.size} bytes, more than a sheet of garments can need`);
    return decodeText(await readFile(path));
  } catch (cause) {
    if (cause instanceof Error && 'code' in cause && cause.code === 'ENOENT')
      throw fail('it is not there', cause);
    if (cause instanceof Error && 'syscall' in cause) throw fail(cause.message, cause);
    throw cause;
  }
}

/** UTF-8, UTF-16 by its mark, otherwise the Western single-byte set that older spreadsheets write. */
function decodeText(bytes: Uint8Array): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

/** Rows of cells, the header first. @throws what `fail` gives where a quote never closes. */
export function sheetRecords(text: string, fail: Fail): readonly (readonly string[])[] {
  const [firstLine = ''] = text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/);
  // Spreadsheets write the list separator of their country.
  const delimiter = [',', ';', '\t'].reduce((best, next) =>
    firstLine.split(next).length > firstLine.split(best).length ? next : best,
  );
  try {
    return parse(text, {
      bom: true,
      delimiter,
      relax_column_count: true,
      relax_quotes: true,
      skip_empty_lines: false,
      max_record_size: mostBytes,
    }) as string[][];
  } catch (cause) {
    const line = cause instanceof CsvError ? Number((cause as { lines?: unknown }).lines) : Number.NaN;
    const where = Number.isFinite(line) ? `; reading stopped at line ${line}` : '';
    throw fail(`a quote opens a cell and never closes${where}`, cause);
  }
}
