import PDFDocument from 'pdfkit';
import { cleanText } from '../../contracts/clean-text.ts';
import type { Sources } from '../sources.ts';
import type { AnyVerdict } from '../words.ts';

/** A PDF on A4 paper, landscape, with the two fonts and the few strokes that the sheets need. Lengths in points. */

const fixedDate = new Date('2000-01-01T00:00:00Z');

const margin = 36;
const footRoom = 24;
export const ink = '#1d2327';
export const quiet = '#5a6269';
export const rule = '#c9c5bb';

/** Dark enough on white paper to read in each colour; the shape beside it says the same without colour. */
const verdictInk: Readonly<Record<AnyVerdict, string>> = {
  pass: '#0b6358',
  cleanup: '#7d5200',
  reject: '#9c2b25',
  reshoot: '#9c2b25',
  unreadable: '#4d5660',
};

type Pdf = PDFKit.PDFDocument;

/** Stands for a letter that the fonts lack: Chinese, Japanese and Korean ones, emoji. */
const absentSign = '□';
const absentNote = `${absentSign} stands for letters that this sheet cannot print: the workbook and the CSV have them.`;

/** The font in use, as far as the library's types leave it out. */
interface FontInUse {
  readonly _font: { readonly font: { hasGlyphForCodePoint(code: number): boolean } };
}

/** What a font lacks would come out as nothing when the text is copied or read aloud. */
function drawable(pdf: Pdf, text: string): string {
  const { font } = (pdf as unknown as FontInUse)._font;
  return Array.from(text, (letter) =>
    letter === '\n' || font.hasGlyphForCodePoint(letter.codePointAt(0)!) ? letter : absentSign,
  ).join('');
}

export interface Paper {
  readonly pdf: Pdf;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  /** Sentences that belong into the foot of every page. */
  readonly notes: Set<string>;
}

/** Longer text than one cell of a printed sheet can hold. */
const longestText = 600;

/** Text from the delivery made safe to print. */
export const printed = (text: string): string => cleanText(text, longestText);

export function openPaper(title: string, { fonts }: Sources): Paper {
  const pdf = new PDFDocument({
    size: 'A4',
    layout: 'landscape',
    margin,
    bufferPages: true,
    autoFirstPage: false,
    lang: 'en',
    displayTitle: true,
    // The same results give the same bytes, so the date is a fixed one; the library does not go without.
    info: { Title: title, Creator: 'Nightrail', Producer: 'Nightrail', CreationDate: fixedDate },
  });
  pdf.registerFont('regular', Buffer.from(fonts.regular));
  pdf.registerFont('bold', Buffer.from(fonts.bold));
  pdf.addPage();
  return {
    pdf,
    left: margin,
    right: pdf.page.width - margin,
    top: margin,
    bottom: pdf.page.height - margin - footRoom,
    notes: new Set(),
  };
}

export interface Placed {
  readonly x: number;
  readonly y: number;
  readonly width: number;
}

export interface Style {
  readonly bold?: boolean;
  readonly size?: number;
  readonly colour?: string;
}

/** Points between the feet of two lines beyond what the font asks for. */
const lineGap = 1;
const bodySize = 8.5;

/** Height that `write` will take. */
export function heightOf({ pdf }: Paper, text: string, width: number, style: Style = {}): number {
  if (text === '') return 0;
  pdf.font(style.bold ? 'bold' : 'regular').fontSize(style.size ?? bodySize);
  return pdf.heightOfString(drawable(pdf, text), { width, lineGap });
}

/** Writes wrapped text and gives the height it took. */
export function write(paper: Paper, text: string, { x, y, width }: Placed, style: Style = {}): number {
  const height = heightOf(paper, text, width, style);
  if (height === 0) return 0;
  const shown = drawable(paper.pdf, text);
  if (shown !== text) paper.notes.add(absentNote);
  paper.pdf.fillColor(style.colour ?? ink).text(shown, x, y, { width, lineGap });
  return height;
}

/** A verdict as word and shape: full, half full, barred or dashed, as on the pages. */
export function writeVerdict(paper: Paper, verdict: AnyVerdict, { x, y, width }: Placed): number {
  const { pdf } = paper;
  const r = 3.6;
  const [cx, cy] = [x + r + 0.5, y + 5.2];
  pdf.save().lineWidth(1).strokeColor(verdictInk[verdict]).fillColor(verdictInk[verdict]);
  if (verdict === 'pass') pdf.circle(cx, cy, r).fill();
  else if (verdict === 'cleanup') {
    pdf.circle(cx, cy, r).stroke();
    pdf.path(`M${cx - r} ${cy} A${r} ${r} 0 0 0 ${cx + r} ${cy} Z`).fill();
  } else if (verdict === 'unreadable') pdf.dash(2, { space: 1.4 }).circle(cx, cy, r).stroke();
  else
    pdf
      .rect(cx - r, cy - r, 2 * r, 2 * r)
      .moveTo(cx - r, cy + r)
      .lineTo(cx + r, cy - r)
      .stroke();
  pdf.restore();
  return write(
    paper,
    verdict,
    { x: x + 2 * r + 5, y, width: width - 2 * r - 5 },
    {
      bold: true,
      colour: verdictInk[verdict],
    },
  );
}

/** Numbers the pages and closes the file. */
export async function closePaper(
  { pdf, left, right, bottom, notes }: Paper,
  foot: string,
): Promise<Uint8Array> {
  const chunks: Buffer[] = [];
  const whole = new Promise<Uint8Array>((resolve, reject) => {
    pdf.on('data', (chunk: Buffer) => chunks.push(chunk));
    pdf.on('end', () => resolve(Buffer.concat(chunks)));
    pdf.on('error', reject);
  });
  const { count } = pdf.bufferedPageRange();
  for (let page = 0; page < count; page += 1) {
    pdf.switchToPage(page);
    // The foot stands in the margin, where the library would otherwise begin a new page.
    pdf.page.margins.bottom = 0;
    pdf.font('regular').fontSize(7).fillColor(quiet);
    pdf.text([...notes, foot].join(' '), left, bottom + 12, {
      width: right - left - 80,
      height: 18,
      ellipsis: true,
    });
    pdf.text(`${page + 1} of ${count}`, right - 70, bottom + 12, { width: 70, align: 'right' });
  }
  pdf.end();
  return whole;
}
