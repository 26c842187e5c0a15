import { stringify } from 'csv-stringify/sync';

export type Cell = string | number | null;

/**
 * CSV text for spreadsheets (RFC 4180, UTF-8 with a byte order mark). Cells hold names and EXIF text from the delivery, so a
 * leading `=`, `+`, `-`, `@`, tab or carriage return is neutralised with an apostrophe, also in the header; numbers stay numbers.
 */
export function toCsv(header: readonly string[], rows: readonly (readonly Cell[])[]): string {
  return stringify([header, ...rows] as Cell[][], {
    bom: true,
    escape_formulas: true,
    record_delimiter: '\r\n',
    quoted_string: true,
  });
}
