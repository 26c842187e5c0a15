/** Reads the decisions sheet: a CSV with `garment`, `frame`, `check`, `decision` (accept or insist), `who` and `why`. */
import { basename, dirname, join, resolve } from 'node:path';
import { cleanText } from '../contracts/clean-text.ts';
import { type Decided, decisionColumns } from '../contracts/decisions.ts';
import { type Decision, decisions } from '../contracts/finding.ts';
import { codedError } from '../errors.ts';
import { type Fail, readSheetText, sheetRecords } from './sheet-text.ts';

/** Where decisions on a delivery are kept unless the command names a file: beside its folder, never in it. */
export function besideDelivery(delivery: string): string {
  const path = resolve(delivery);
  return join(dirname(path), `${basename(path) || 'delivery'}-decisions.csv`);
}

export interface DecisionSheet {
  readonly path: string;
  /** False: the sheet is still to be written. */
  readonly found: boolean;
  readonly rows: readonly Decided[];
}

/**
 * @param checks every check id there is.
 * @throws CodedError `decisions-not-read` or `decisions-row-wrong` (usage), naming the row. A sheet that is not there is no error.
 */
export async function readDecisions(path: string, checks: readonly string[]): Promise<DecisionSheet> {
  let missing = false;
  const fail: Fail = (what, cause) => {
    missing = what === 'it is not there';
    return codedError('decisions-not-read', { path, what }, cause);
  };
  try {
    const text = await readSheetText(path, fail);
    return { path, found: true, rows: parseDecisions(text, path, checks) };
  } catch (error) {
    if (missing) return { path, found: false, rows: [] };
    throw error;
  }
}

type Column = (typeof decisionColumns)[number];
type Columns = Readonly<Record<Column, number>>;

const show = (text: string): string => cleanText(text, 80);

/** @param path named in errors only. */
export function parseDecisions(text: string, path: string, checks: readonly string[]): readonly Decided[] {
  const fail: Fail = (what, cause) => codedError('decisions-not-read', { path, what }, cause);
  const [header = [], ...records] = sheetRecords(text, fail);
  const columns = columnsOf(header, path);
  const rows: Decided[] = [];
  const firstRowOf = new Map<string, number>();
  for (const [index, record] of records.entries()) {
    const row = index + 2;
    const wrong = (what: string): Error => codedError('decisions-row-wrong', { path, row, what });
    const decided = readRow(record, row, columns, checks, wrong);
    if (decided === null) continue;
    const key = JSON.stringify([decided.target.kind, decided.target.id, decided.check]);
    const earlier = firstRowOf.get(key);
    if (earlier !== undefined)
      throw wrong(
        `row ${earlier} decides about ${decided.check} on "${show(decided.target.id)}" already; take one of the two out`,
      );
    firstRowOf.set(key, row);
    rows.push(decided);
  }
  return rows;
}

function columnsOf(header: readonly string[], path: string): Columns {
  const names = header.map((name) => name.trim().toLowerCase());
  const wrong = (what: string): Error => codedError('decisions-row-wrong', { path, row: 1, what });
  for (const name of decisionColumns) {
    if (names.indexOf(name) !== names.lastIndexOf(name))
      throw wrong(`there are two columns called "${name}"`);
    // What was found is there for the reader only.
    if (name !== 'finding' && !names.includes(name)) throw wrong(`a column "${name}" is missing`);
  }
  return Object.fromEntries(decisionColumns.map((name) => [name, names.indexOf(name)])) as Columns;
}

/**
 * What stands in the cell. Nightrail puts an apostrophe before a name that a spreadsheet would run as a formula;
 * programs keep it or take it for a mark and drop it.
 */
function cellOf(record: readonly string[], at: number): string {
  return (record[at] ?? '').trim().replace(/^'(?=[=+\-@\t\r\uff1d\uff0b\uff0d\uff20])/, '');
}

function readRow(
  record: readonly string[],
  row: number,
  columns: Columns,
  checks: readonly string[],
  wrong: (what: string) => Error,
): Decided | null {
  const cell = (name: Column): string => cellOf(record, columns[name]);
  const word = cell('decision').toLowerCase();
  // A row nobody has filled in is a finding still open.
  if (word === '') return null;
  const decided = decisions.find((each) => each === word);
  if (decided === undefined)
    throw wrong(`"${show(word)}" in "decision" is neither ${decisions.join(' nor ')}`);
  const check = cell('check').toLowerCase();
  if (check === '') throw wrong('"check" is empty: it says what the decision is about');
  if (!checks.includes(check))
    throw wrong(`there is no check "${show(check)}"; copy its name from the reports, for example soft-eyes`);
  return { row, target: targetOf(cell, wrong), check, decision: { decided, ...signed(cell, wrong) } };
}

function targetOf(cell: (name: Column) => string, wrong: (what: string) => Error): Decided['target'] {
  const frame = cell('frame').replaceAll('\\', '/');
  if (frame !== '') return { kind: 'frame', id: frame };
  const garment = cell('garment');
  if (garment === '') throw wrong('neither "frame" nor "garment" is filled in');
  return { kind: 'garment', id: garment };
}

/** A decision against a measurement is a person's: it stands in every document with name and reason. */
function signed(
  cell: (name: Column) => string,
  wrong: (what: string) => Error,
): Pick<Decision, 'who' | 'why'> {
  const [who, why] = [cleanText(cell('who'), 80), cleanText(cell('why'), 400)];
  if (who === '') throw wrong('"who" is empty: a decision needs the name of the person who made it');
  if (why === '') throw wrong('"why" is empty: a decision needs its reason');
  return { who, why };
}
