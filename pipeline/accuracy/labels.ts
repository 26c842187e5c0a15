import { parse } from 'csv-parse/sync';
import { z } from 'zod';
import { crops, views } from '../contracts/measurement/people.ts';
import { codedError } from '../errors.ts';
import type { BoxTuple } from '../numeric/boxes.ts';

/**
 * Two label sheets, written by hand by whoever checks the measurement.
 * `labels.csv`: one row a photograph. `boxes.csv`: one row a person, px of the upright picture.
 * Columns that are not named here are allowed and ignored.
 */

const wholeNumber = z.string().regex(/^\d+$/, 'a whole number').transform(Number);
const pixel = z
  .string()
  .regex(/^-?\d+(\.\d+)?$/, 'a number of px')
  .transform(Number);
const yesOrNo = z.enum(['yes', 'no']).transform((word) => word === 'yes');

const labelRowSchema = z.object({
  file: z.string().min(1),
  subjects: wholeNumber,
  bg_people: wholeNumber,
  crop: z.enum(crops),
  view: z.enum(views),
  feet_visible: z.enum(['both', 'one', 'none', 'unknown']),
  ambiguous: yesOrNo,
});

const boxRowSchema = z.object({
  file: z.string().min(1),
  x0: pixel,
  y0: pixel,
  x1: pixel,
  y1: pixel,
  kind: z.enum(['subject', 'background', 'crowd']),
});

export interface LabelledBoxes {
  readonly subjects: readonly BoxTuple[];
  readonly background: readonly BoxTuple[];
  /** Groups too dense or too blurred to tell apart: neither a miss nor a false alarm. */
  readonly crowds: readonly BoxTuple[];
}

export interface LabelledFrame {
  readonly file: string;
  readonly subjects: number;
  readonly backgroundPeople: number;
  readonly crop: (typeof crops)[number];
  readonly view: (typeof views)[number];
  /** `null` where the label says `unknown`. */
  readonly feetVisible: 0 | 1 | 2 | null;
  /** A careful person could disagree about the people in the background. */
  readonly ambiguous: boolean;
  /** px; `null` where no box sheet was given. */
  readonly boxes: LabelledBoxes | null;
}

const feet = { both: 2, one: 1, none: 0, unknown: null } as const;

function readRows<T>(text: string, sheet: string, row: z.ZodType<T>): readonly T[] {
  let records: readonly unknown[];
  try {
    records = parse(text, { columns: true, bom: true, skip_empty_lines: true, trim: true });
  } catch (cause) {
    throw codedError('label-sheet-wrong', { sheet, problem: (cause as Error).message }, cause);
  }
  return records.map((record, index) => {
    const result = row.safeParse(record);
    if (result.success) return result.data;
    const issue = result.error.issues[0];
    throw codedError('label-sheet-wrong', {
      sheet,
      problem: `row ${index + 2}, column ${issue?.path.join('.') ?? '?'}: ${issue?.message ?? 'not understood'}`,
    });
  });
}

/**
 * The text of both sheets as labelled frames, in the order of `labels`.
 * @throws CodedError `label-sheet-wrong`: names the sheet, the row, the column and what is wrong.
 */
export function readLabels(labels: string, boxes: string | null): readonly LabelledFrame[] {
  const rows = readRows(labels, 'labels', labelRowSchema);
  const seen = new Set<string>();
  for (const { file } of rows) {
    if (seen.has(file)) {
      throw codedError('label-sheet-wrong', { sheet: 'labels', problem: `${file} has two rows` });
    }
    seen.add(file);
  }
  const boxRows = boxes === null ? null : readRows(boxes, 'boxes', boxRowSchema);
  const stray = boxRows?.find(({ file }) => !seen.has(file));
  if (stray) {
    throw codedError('label-sheet-wrong', {
      sheet: 'boxes',
      problem: `${stray.file} has a box but no row in the labels sheet`,
    });
  }
  return rows.map((row) => {
    const own = boxRows?.filter(({ file }) => file === row.file) ?? null;
    const ofKind = (kind: string): readonly BoxTuple[] =>
      (own ?? [])
        .filter((box) => box.kind === kind)
        .map(({ x0, y0, x1, y1 }): BoxTuple => [x0, y0, x1 - x0, y1 - y0]);
    return {
      file: row.file,
      subjects: row.subjects,
      backgroundPeople: row.bg_people,
      crop: row.crop,
      view: row.view,
      feetVisible: feet[row.feet_visible],
      ambiguous: row.ambiguous,
      boxes:
        own === null
          ? null
          : { subjects: ofKind('subject'), background: ofKind('background'), crowds: ofKind('crowd') },
    };
  });
}
