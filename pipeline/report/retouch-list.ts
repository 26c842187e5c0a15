import type { Box } from '../contracts/box.ts';
import { efforts, type Finding } from '../contracts/finding.ts';
import type { FrameResult, Results } from '../contracts/results.ts';
import { type Cell, toCsv } from './csv.ts';
import { byPriority, priorityText } from './priority.ts';
import { type Sources, smallPicture } from './sources.ts';
import { type SheetColumn, toXlsx } from './spreadsheet.ts';
import { asksForWork, decisionWords, quantity } from './words.ts';

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
  { name: 'measured', width: 11 },
  { name: 'limit', width: 11 },
  { name: 'check', width: 20 },
  { name: 'decided', width: 28 },
];

/** Where the picture stands in the workbook: beside the frame's name. */
const pictureAt = 3;

/** Height of a picture in the workbook, px: common practice for a row that shows what the frame is. */
const pictureHeightPx = 120;

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

const area = (finding: Finding): number => (finding.region ? finding.region[2] * finding.region[3] : 0);
const work = ({ effort }: Finding): number => (effort === undefined ? -1 : efforts.indexOf(effort));

interface Job {
  readonly frame: FrameResult;
  readonly finding: Finding;
  readonly priority: string;
}

/** A retoucher mends what can be mended on a frame that will be used: not one that is shot again. */
function jobsOf(frame: FrameResult, priority: string): readonly Job[] {
  if (frame.verdict !== 'cleanup') return [];
  return frame.findings
    .filter((finding) => finding.severity !== 'unmeasured' && asksForWork(finding))
    .map((finding) => ({ frame, finding, priority }));
}

/** Every thing to mend: the most urgent garment first, in each the most work first. */
function jobs(results: Results): readonly Job[] {
  return byPriority(results.garments).flatMap((garment) =>
    results.frames
      .filter((frame) => frame.garment === garment.id)
      .flatMap((frame) => jobsOf(frame, priorityText(garment)))
      .sort((a, b) => work(b.finding) - work(a.finding) || area(b.finding) - area(a.finding)),
  );
}

function cells({ frame, finding, priority }: Job, index: number): readonly Cell[] {
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
    jobs(results).map(cells),
  );
}

/** The same list as a workbook, with a small picture of the frame in each row. */
export async function retouchWorkbook(results: Results, sources: Sources): Promise<Uint8Array> {
  const all = jobs(results);
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
