import type { Results } from '../contracts/results.ts';
import { type Cell, toCsv } from './csv.ts';
import { type SmallPicture, type Sources, smallPicture } from './sources.ts';
import { type SheetColumn, type SheetPage, toXlsx } from './spreadsheet.ts';
import { carriedColumns, type StoreRow, storeRows, totals } from './store-rows.ts';
import { listing } from './words.ts';

const ownColumns: readonly SheetColumn[] = [
  { name: 'garment', width: 20 },
  { name: 'verdict', width: 10 },
  { name: 'frames', width: 8 },
  { name: 'frames that pass', width: 8 },
  { name: 'delivered', width: 24 },
  { name: 'missing', width: 18 },
  { name: 'reasons', width: 52 },
  { name: 'decided', width: 34 },
];
const carriedWidth = 16;

/** Height of a picture in the workbook, px: four upright ones stand beside each other in a readable column. */
const pictureHeightPx = 96;

function cells(row: StoreRow): readonly Cell[] {
  return [
    row.garment,
    row.verdict,
    row.frames,
    row.passing,
    listing(row.delivered),
    listing(row.missing),
    row.reasons.join('; '),
    row.decided.join('; '),
    ...row.carried,
  ];
}

/** The store's sheet as CSV: one row a garment, with the studio's own columns carried over. */
export function storeSheet(results: Results): string {
  const header = [...ownColumns.map(({ name }) => name), ...carriedColumns(results)];
  return toCsv(header, storeRows(results).map(cells));
}

function totalsPage(results: Results): SheetPage {
  const { garments, frames, missing, faults } = totals(results);
  const rows: Cell[][] = [
    ...garments.map(({ verdict, count }) => ['garments', verdict, count, null]),
    ...frames.map(({ verdict, count }) => ['frames', verdict, null, count]),
    ...missing.map(({ view, garments: n }) => ['missing', view, n, null]),
    ...faults.map((fault) => ['reason', fault.what, fault.garments, fault.frames]),
    ['profile', results.profile.name, null, null],
    ['made by', `Nightrail ${results.tool.version}`, null, null],
  ];
  return {
    name: 'Totals',
    columns: [
      { name: 'about', width: 12 },
      { name: 'what', width: 44 },
      { name: 'garments', width: 10 },
      { name: 'frames', width: 10 },
    ],
    pictureHeightPx,
    rows: rows.map((row) => ({ cells: row })),
  };
}

/** The small pictures of each row of the sheet. */
export async function rowPictures(
  rows: readonly StoreRow[],
  sources: Sources,
): Promise<readonly (readonly SmallPicture[])[]> {
  return Promise.all(
    rows.map(async ({ shown }) => {
      const found = await Promise.all(shown.map((frame) => smallPicture(frame, sources)));
      return found.filter((picture) => picture !== null);
    }),
  );
}

/** The same sheet as a workbook, with small pictures, and a page of totals. */
export async function storeWorkbook(results: Results, sources: Sources): Promise<Uint8Array> {
  const rows = storeRows(results);
  const pictures = await rowPictures(rows, sources);
  const carried = carriedColumns(results).map((name) => ({ name, width: carriedWidth }));
  return toXlsx([
    {
      name: 'Garments',
      columns: [{ name: 'picture', width: 42 }, ...ownColumns, ...carried],
      pictureHeightPx,
      rows: rows.map((row, index) => ({ cells: [null, ...cells(row)], pictures: pictures[index] ?? [] })),
    },
    totalsPage(results),
  ]);
}
