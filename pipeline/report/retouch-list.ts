import type { Box } from '../contracts/box.ts';
import type { Finding } from '../contracts/finding.ts';
import type { FrameResult, Results } from '../contracts/results.ts';
import { type Cell, toCsv } from './csv.ts';
import { quantity } from './words.ts';

const header = [
  'order',
  'garment',
  'frame',
  'what',
  'what to do',
  'x px',
  'y px',
  'width px',
  'height px',
  'share of frame',
  'measured',
  'limit',
  'check',
];

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

function cells(frame: FrameResult, finding: Finding): readonly Cell[] {
  const file = frame.measurement?.file;
  const where =
    finding.region && file ? boxPx(finding.region, file.width, file.height) : [null, null, null, null];
  const share = finding.region ? Number((finding.region[2] * finding.region[3]).toFixed(4)) : null;
  return [
    frame.garment,
    frame.id,
    finding.title,
    finding.detail,
    ...where,
    share,
    quantity(finding.value, finding.unit),
    finding.limit === null ? '' : quantity(finding.limit, finding.unit),
    finding.check,
  ];
}

const area = (finding: Finding): number => (finding.region ? finding.region[2] * finding.region[3] : 0);

/** The retoucher's list: one row for each thing to mend, garment after garment, the largest piece of work first in each. */
export function retouchList(results: Results): string {
  const rows = results.garments.flatMap((garment) =>
    results.frames
      .filter((frame) => frame.garment === garment.id && frame.verdict === 'cleanup')
      .flatMap((frame) =>
        frame.findings
          .filter(({ severity }) => severity === 'cleanup')
          .map((finding) => ({ frame, finding })),
      )
      .sort((a, b) => area(b.finding) - area(a.finding)),
  );
  return toCsv(
    header,
    rows.map(({ frame, finding }, index) => [index + 1, ...cells(frame, finding)]),
  );
}
