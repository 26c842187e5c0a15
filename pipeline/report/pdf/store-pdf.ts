import type { Results } from '../../contracts/results.ts';
import type { SmallPicture, Sources } from '../sources.ts';
import { carriedColumns, type StoreRow, storeRows, totals } from '../store-rows.ts';
import { rowPictures } from '../store-sheet.ts';
import { count, garmentAdvice, listing } from '../words.ts';
import {
  closePaper,
  heightOf,
  openPaper,
  type Paper,
  printed,
  quiet,
  rule,
  type Style,
  write,
  writeVerdict,
} from './paper.ts';

/** The store's sheet on paper: one row a garment, then a page of totals. Lengths in points. */

const gap = 8;
const pictureHeight = 66;
const widths = { pictures: 196, garment: 140, verdict: 72, views: 120 } as const;
/** Room below and above a row's text. */
const rowPadding = 6;

interface Columns {
  readonly pictures: number;
  readonly garment: number;
  readonly verdict: number;
  readonly views: number;
  readonly reasons: number;
  readonly reasonsWidth: number;
}

function columnsOf({ left, right }: Paper): Columns {
  const garment = left + widths.pictures + gap;
  const verdict = garment + widths.garment + gap;
  const views = verdict + widths.verdict + gap;
  const reasons = views + widths.views + gap;
  return { pictures: left, garment, verdict, views, reasons, reasonsWidth: right - reasons };
}

type Lines = readonly (readonly [text: string, style: Style])[];

const small: Style = { size: 7.5, colour: quiet };

interface RowText {
  readonly garment: Lines;
  readonly views: Lines;
  readonly reasons: Lines;
}

function textOf(row: StoreRow, carried: readonly string[]): RowText {
  const carriedLines = carried.flatMap((name, index) => {
    const value = row.carried[index] ?? '';
    return value === '' ? [] : [[printed(`${name}: ${value}`), small] as const];
  });
  const views = [
    ...(row.delivered.length > 0 ? [[printed(`Delivered: ${listing(row.delivered)}`), {}] as const] : []),
    ...(row.missing.length > 0
      ? [[printed(`Missing: ${listing(row.missing)}`), { bold: true }] as const]
      : []),
    [`${row.passing} of ${count(row.frames, 'frame')} pass.`, small] as const,
  ];
  return {
    garment: [[printed(row.garment), { bold: true }], ...carriedLines],
    views,
    reasons: [
      ...(row.reasons.length > 0 ? [] : [[garmentAdvice[row.verdict], {}] as const]),
      ...row.reasons.map((reason) => [`– ${printed(reason)}`, {}] as const),
      ...row.decided.map((decision) => [printed(decision), small] as const),
    ],
  };
}

const heightOfLines = (paper: Paper, lines: Lines, width: number): number =>
  lines.reduce((sum, [text, style]) => sum + heightOf(paper, text, width, style), 0);

function writeLines(paper: Paper, lines: Lines, x: number, y: number, width: number): void {
  let at = y;
  for (const [text, style] of lines) at += write(paper, text, { x, y: at, width }, style);
}

function drawPictures(paper: Paper, pictures: readonly SmallPicture[], x: number, y: number): void {
  const room = (widths.pictures - gap) / Math.max(1, pictures.length);
  let at = x;
  for (const picture of pictures) {
    const scale = Math.min(pictureHeight / picture.height, room / picture.width);
    paper.pdf.image(Buffer.from(picture.bytes), at, y, { width: picture.width * scale });
    at += picture.width * scale + 3;
  }
}

function writeHead(paper: Paper, y: number): number {
  const at = columnsOf(paper);
  const head = { size: 7.5, bold: true, colour: quiet } as const;
  write(paper, 'Best frames', { x: at.pictures, y, width: widths.pictures }, head);
  write(paper, 'Garment', { x: at.garment, y, width: widths.garment }, head);
  write(paper, 'Verdict', { x: at.verdict, y, width: widths.verdict }, head);
  write(paper, 'Views and crops', { x: at.views, y, width: widths.views }, head);
  write(paper, 'Reasons', { x: at.reasons, y, width: at.reasonsWidth }, head);
  drawRule(paper, y + 12);
  return y + 12;
}

function drawRule({ pdf, left, right }: Paper, y: number): void {
  pdf.moveTo(left, y).lineTo(right, y).lineWidth(0.5).strokeColor(rule).stroke();
}

function writeRow(paper: Paper, row: StoreRow, text: RowText, pictures: readonly SmallPicture[], y: number) {
  const at = columnsOf(paper);
  const top = y + rowPadding;
  drawPictures(paper, pictures, at.pictures, top);
  if (pictures.length === 0)
    write(paper, 'no picture', { x: at.pictures, y: top, width: widths.pictures }, small);
  writeLines(paper, text.garment, at.garment, top, widths.garment);
  writeVerdict(paper, row.verdict, { x: at.verdict, y: top, width: widths.verdict });
  writeLines(paper, text.views, at.views, top, widths.views);
  writeLines(paper, text.reasons, at.reasons, top, at.reasonsWidth);
}

function rowHeight(paper: Paper, text: RowText, pictures: readonly SmallPicture[]): number {
  return (
    2 * rowPadding +
    Math.max(
      pictures.length > 0 ? pictureHeight : 0,
      heightOfLines(paper, text.garment, widths.garment),
      heightOfLines(paper, text.views, widths.views),
      heightOfLines(paper, text.reasons, columnsOf(paper).reasonsWidth),
    )
  );
}

/** Keeps as many lines as the room holds, and says how many more there are. */
function fitted(paper: Paper, lines: Lines, width: number, room: number): Lines {
  let kept = lines.length;
  const cut = (): Lines =>
    kept === lines.length
      ? lines
      : [...lines.slice(0, kept), [`and ${lines.length - kept} more, on the garment’s page`, small]];
  while (kept > 0 && heightOfLines(paper, cut(), width) > room) kept -= 1;
  return cut();
}

function writeTable(
  paper: Paper,
  rows: readonly StoreRow[],
  carried: readonly string[],
  pictures: readonly (readonly SmallPicture[])[],
  from: number,
): void {
  let y = writeHead(paper, from);
  const room = paper.bottom - paper.top - 12 - 2 * rowPadding;
  rows.forEach((row, index) => {
    const whole = textOf(row, carried);
    const text = {
      garment: fitted(paper, whole.garment, widths.garment, room),
      views: fitted(paper, whole.views, widths.views, room),
      reasons: fitted(paper, whole.reasons, columnsOf(paper).reasonsWidth, room),
    };
    const own = pictures[index] ?? [];
    const height = rowHeight(paper, text, own);
    if (y + height > paper.bottom) {
      paper.pdf.addPage();
      y = writeHead(paper, paper.top);
    }
    writeRow(paper, row, text, own, y);
    y += height;
    drawRule(paper, y);
  });
}

function writeTotals(paper: Paper, results: Results): void {
  const { pdf, left, top } = paper;
  const { garments, frames, missing, faults } = totals(results);
  pdf.addPage();
  let y = top + write(paper, 'Totals', { x: left, y: top, width: 400 }, { bold: true, size: 15 }) + 6;
  const nameWidth = 330;
  const numberWidth = 90;
  const line = (cells: readonly [string, string, string], style: Style = {}): void => {
    const height = heightOf(paper, cells[0], nameWidth, style);
    if (y + height > paper.bottom) {
      pdf.addPage();
      y = top;
    }
    cells.forEach((cell, column) => {
      const x = column === 0 ? left : left + nameWidth + gap + (column - 1) * (numberWidth + gap);
      write(paper, cell, { x, y, width: column === 0 ? nameWidth : numberWidth }, style);
    });
    y += height + 2;
  };
  const heading = (text: string, second: string, third: string): void => {
    y += 8;
    line([text, second, third], { bold: true, colour: quiet });
  };
  heading('Verdict', 'garments', 'frames');
  const names = [...new Set([...garments, ...frames].map(({ verdict }) => verdict))];
  for (const name of names) {
    const of = (found: readonly { readonly verdict: string; readonly count: number }[]): string =>
      String(found.find(({ verdict }) => verdict === name)?.count ?? '');
    line([name, of(garments), of(frames)]);
  }
  if (missing.length > 0) {
    heading('Missing view or crop', 'garments', '');
    for (const { view, garments: n } of missing) line([printed(view), String(n), '']);
  }
  if (faults.length > 0) {
    heading('Reason', 'garments', 'frames');
    for (const fault of faults)
      line([printed(fault.what), String(fault.garments), fault.frames === 0 ? '' : String(fault.frames)]);
  }
}

/** `store-sheet.pdf`. The same results and pictures give the same bytes. */
export async function storePdf(results: Results, sources: Sources): Promise<Uint8Array> {
  const rows = storeRows(results);
  const pictures = await rowPictures(rows, sources);
  const paper = openPaper('Store sheet', sources);
  const { left, right, top } = paper;
  const title = write(paper, 'Store sheet', { x: left, y: top, width: 400 }, { bold: true, size: 15 });
  const about = printed(
    `${count(results.garments.length, 'garment')}, ${count(results.frames.length, 'frame')}, judged against the profile “${results.profile.name}”.`,
  );
  const intro = write(paper, about, { x: left, y: top + title + 2, width: right - left });
  writeTable(paper, rows, carriedColumns(results), pictures, top + title + intro + 12);
  writeTotals(paper, results);
  return closePaper(
    paper,
    'A verdict is advice to a person, who has the last word. The people in these pictures have privacy and image rights: share the sheet only with those who need it.',
  );
}
