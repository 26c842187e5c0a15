import type { Proportion } from '../numeric/proportion.ts';
import type { AccuracyFigures, Confusion } from './figures.ts';

const percent = (value: number) => `${(100 * value).toFixed(1)} %`;

/** `95.5 % (64 of 67; 95 % interval 87.6 to 98.5 %)`. */
export function proportionText(figure: Proportion | null): string {
  if (figure === null) return 'no case in the labels';
  const interval = `${(100 * figure.low).toFixed(1)} to ${percent(figure.high)}`;
  return `${percent(figure.share)} (${figure.successes} of ${figure.trials}; 95 % interval ${interval})`;
}

function table(title: string, rows: Confusion): string {
  const columns = [...new Set(Object.values(rows).flatMap((row) => Object.keys(row)))].sort();
  const names = Object.keys(rows).sort();
  if (names.length === 0) return `${title}: no case in the labels`;
  const first = Math.max(8, ...names.map((name) => name.length));
  const widths = columns.map((column) => Math.max(5, column.length));
  const line = (head: string, cells: readonly string[]) =>
    `  ${head.padEnd(first)}  ${cells.map((cell, i) => cell.padStart(widths[i] ?? 5)).join('  ')}`;
  return [
    `${title} (rows: labelled, columns: measured)`,
    line('', columns),
    ...names.map((name) =>
      line(
        name,
        columns.map((column) => String(rows[name]?.[column] ?? 0)),
      ),
    ),
  ].join('\n');
}

/** The figures of one group of frames as plain lines for a terminal. */
export function figuresText(title: string, figures: AccuracyFigures): string {
  const ap = figures.averagePrecision;
  const apText = (value: number | null | undefined) =>
    value === null || value === undefined ? 'none' : value.toFixed(3);
  return [
    `${title}: ${figures.frames} frames, ${figures.ambiguous} of them ambiguous (left out of the two figures by frame)`,
    `  frames with background people that are flagged   ${proportionText(figures.frameRecall)}`,
    `  flagged frames that have background people       ${proportionText(figures.framePrecision)}`,
    `  background people >= 10 % of the height found    ${proportionText(figures.personRecall)}`,
    `  the same, with those that are only noted         ${proportionText(figures.personRecallWithNotes)}`,
    `  background people of any size found              ${proportionText(figures.personRecallAnySize)}`,
    `  found background people that are labelled        ${proportionText(figures.personPrecision)}`,
    ap === null
      ? '  average precision of all people at IoU 0.5       no boxes given'
      : `  average precision of all people at IoU 0.5       all ${apText(ap.all)}, small ${apText(ap.small)}, medium ${apText(ap.medium)}, large ${apText(ap.large)}`,
    `  subjects right                                   ${proportionText(figures.subjectRight)}`,
    `  crop right                                       ${proportionText(figures.cropRight)}`,
    `  view right                                       ${proportionText(figures.viewRight)}`,
    `  view right, counting the neighbouring view       ${proportionText(figures.viewNearlyRight)}`,
    `  feet visible right                               ${proportionText(figures.feetRight)}`,
    '',
    table('Crop', figures.crop),
    table('View', figures.view),
    table('Feet visible', figures.feet),
  ].join('\n');
}

/** Every miss and false alarm, one a line. */
export function missesText(figures: AccuracyFigures): string {
  if (figures.misses.length === 0) return 'No miss and no false alarm.';
  const lines = figures.misses.map(({ file, kind, box, words }) => {
    const place = box === null ? '' : ` at ${box.map((value) => Math.round(value)).join(',')} px`;
    return `  ${file}  ${kind === 'missed' ? 'wrong or missed' : 'false alarm'}: ${words}${place}`;
  });
  return ['Misses and false alarms', ...lines].join('\n');
}
