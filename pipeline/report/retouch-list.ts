import type { Box } from '../contracts/box.ts';
import type { Results } from '../contracts/results.ts';
import { type Cell, toCsv } from './csv.ts';
import { area, type Job, retouchJobs } from './retouch-jobs.ts';
import { type Sources, smallPicture } from './sources.ts';
import { type SheetColumn, toXlsx } from './spreadsheet.ts';
import { decisionWords, quantity } from './words.ts';

const columns: readonly SheetColumn[] = [
  { name: 'order', width: 6 },
  { name: 'priority', width: 9 },
  { name: 'garment', width: 18 },
  { name: 'frame', width: 26 },
  { name: 'what', width: 28 },
  { name: 'what to do', width: 52 },
  { name: 'effort', width: 10 },
  { name: 'x px', width: 7 },
  { name: 'y px', width: 7 },
  { name: 'width px', width: 7 },
  { name: 'height px', width: 7 },
  { name: 'share of frame', width: 8, format: '0.0%' },
  { name: 'mask', width: 34 },
  { name: 'mask shows', width: 14 },
  { name: 'measured', width: 11 },
  { name: 'limit', width: 11 },
  { name: 'check', width: 20 },
  { name: 'decided', width: 28 },
];

/** Where the picture stands in the workbook: beside the frame's name. */
const pictureAt = 3;

/** Height of a picture in the workbook, px: common practice for a row that shows what the frame is. */
const pictureHeightPx = 120;

const maskWords = { outline: 'outline', shape: 'rough shape' } as const;

/** A box given as shares, in whole native px. */
function boxPx(box: Box, width: number, height: number): readonly [number, number, number, number] {
  const left = Math.round(box[0] * width);
  const top = Math.round(box[1] * height);
  return [
    left,
    top,
    Math.round((box[0] + box[2]) * width) - left,
    Math.round((box[1] + box[3]) * height) - top,
  ];
}

function cells({ frame, finding, priority, mask }: Job, index: number): readonly Cell[] {
  const file = frame.measurement?.file;
  const where =
    finding.region && file ? boxPx(finding.region, file.width, file.height) : [null, null, null, null];
  return [
    index + 1,
    priority,
    frame.garment,
    frame.id,
    finding.title,
    finding.detail,
    finding.effort ?? '',
    ...where,
    finding.region ? Number(area(finding).toFixed(4)) : null,
    mask?.path ?? '',
    mask === null ? '' : maskWords[mask.kind],
    quantity(finding.value, finding.unit),
    finding.limit === null ? '' : quantity(finding.limit, finding.unit),
    finding.check,
    decisionWords(finding),
  ];
}

/** The retoucher's list as CSV: one row for each thing to mend. */
export function retouchList(results: Results): string {
  return toCsv(
    columns.map(({ name }) => name),
    retouchJobs(results).map(cells),
  );
}

/** The same list as a workbook, with a small picture of the frame in each row. */
export async function retouchWorkbook(results: Results, sources: Sources): Promise<Uint8Array> {
  const all = retouchJobs(results);
  const pictures = await Promise.all(all.map(({ frame }) => smallPicture(frame, sources)));
  const withPicture = <T>(row: readonly T[], inserted: T): readonly T[] => [
    ...row.slice(0, pictureAt),
    inserted,
    ...row.slice(pictureAt),
  ];
  return toXlsx([
    {
      name: 'Retouch list',
      columns: withPicture(columns, { name: 'picture', width: 24 }),
      pictureHeightPx,
      rows: all.map((job, index) => {
        const picture = pictures[index];
        return {
          cells: withPicture(cells(job, index), picture ? null : 'no picture'),
          ...(picture && { pictures: [picture] }),
        };
      }),
    },
  ]);
}
