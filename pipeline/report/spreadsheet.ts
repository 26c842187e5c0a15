import { unzipSync, type Zippable, zipSync } from 'fflate';
import writeXlsxFile, { type Image, type Sheet, type Cell as XlsxCell } from 'write-excel-file/node';
import { cleanText } from '../contracts/clean-text.ts';
import type { SmallPicture } from './sources.ts';

/** Longer text than anyone reads in a cell, and far below the 32,767 characters that the format allows. */
const longestText = 4000;
/** What a spreadsheet shows a picture at: px at 96 to the inch. */
const dpi = 96;
const pointsPerPx = 72 / dpi;
/** Room between a picture and its cell's edge, px. */
const gapPx = 4;
/** Zip entries carry local time: the earliest the format knows, so that equal sheets are equal bytes anywhere. */
const fixedTime = new Date(1980, 0, 1);

export interface SheetColumn {
  readonly name: string;
  /** Characters of the default font. */
  readonly width: number;
  /** Spreadsheet number format, such as `0.0%`. */
  readonly format?: string;
}

export interface SheetRow {
  readonly cells: readonly (string | number | null)[];
  /** Shown side by side in the column called `picture`. */
  readonly pictures?: readonly SmallPicture[];
}

export interface SheetPage {
  readonly name: string;
  readonly columns: readonly SheetColumn[];
  readonly rows: readonly SheetRow[];
  /** Height at which pictures are shown, px. */
  readonly pictureHeightPx: number;
}

/**
 * Text made safe for a cell. It is always stored as text, so nothing in it is ever a formula; `_x0041_` is how the format
 * writes a character code (ECMA-376 part 1, ST_Xstring), so the underscore of such a run is itself written as a code.
 */
function text(value: string): string {
  return cleanText(value, longestText).replace(/_(?=x[0-9a-f]{4}_)/gi, '_x005F_');
}

function cell(value: string | number | null, { format }: SheetColumn, height: number | undefined): XlsxCell {
  const common = { alignVertical: 'top', wrap: true, ...(height !== undefined && { height }) } as const;
  if (value === null || value === '') return common;
  if (typeof value === 'string') return { ...common, type: String, value: text(value) };
  if (!Number.isFinite(value)) throw new RangeError(`expected a finite number for a cell, received ${value}`);
  return { ...common, type: Number, value, ...(format !== undefined && { format }) };
}

function images(page: SheetPage): Image[] {
  const column = page.columns.findIndex(({ name }) => name === 'picture');
  return page.rows.flatMap(({ pictures = [] }, index) => {
    let offsetX = gapPx;
    return pictures.map((picture): Image => {
      const scale = page.pictureHeightPx / picture.height;
      const width = Math.round(picture.width * scale);
      const image = {
        content: Buffer.from(picture.bytes),
        contentType: 'image/jpeg',
        width,
        height: page.pictureHeightPx,
        dpi,
        anchor: { row: index + 2, column: column + 1 },
        offsetX,
        offsetY: gapPx,
        description: text(picture.frame),
      };
      offsetX += width + gapPx;
      return image;
    });
  });
}

function sheet(page: SheetPage): Sheet<Buffer> {
  const header = page.columns.map(
    ({ name }): XlsxCell => ({ type: String, value: text(name), fontWeight: 'bold', wrap: true }),
  );
  const height = (page.pictureHeightPx + 2 * gapPx) * pointsPerPx;
  const rows = page.rows.map(({ cells, pictures = [] }) =>
    cells.map((value, at) => cell(value, page.columns[at]!, pictures.length > 0 ? height : undefined)),
  );
  return {
    sheet: page.name,
    data: [header, ...rows],
    columns: page.columns.map(({ width }) => ({ width })),
    stickyRowsCount: 1,
    orientation: 'landscape',
    images: images(page),
  } as Sheet<Buffer>;
}

/**
 * An Office Open XML workbook (ECMA-376). The same pages give the same bytes.
 * @throws RangeError where a cell holds a number that is not finite.
 */
export async function toXlsx(pages: readonly SheetPage[]): Promise<Uint8Array> {
  const written = await writeXlsxFile(pages.map(sheet) as Parameters<typeof writeXlsxFile>[0]).toBuffer();
  const entries: Zippable = {};
  for (const [path, bytes] of Object.entries(unzipSync(written)))
    entries[path] = [bytes, { level: path.endsWith('.xml') ? 6 : 0 }];
  return zipSync(entries, { mtime: fixedTime });
}
