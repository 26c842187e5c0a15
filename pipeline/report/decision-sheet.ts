import { decisionColumns } from '../contracts/decisions.ts';
import type { Finding } from '../contracts/finding.ts';
import type { Results } from '../contracts/results.ts';
import { toCsv } from './csv.ts';
import { asksForWork } from './words.ts';

/** Open findings of one frame or garment: check to what was found, each check once as a decision covers them all. */
function openChecks(findings: readonly Finding[]): ReadonlyMap<string, string> {
  const titles = new Map<string, string[]>();
  for (const { check, title } of findings.filter(asksForWork))
    titles.set(check, [...(titles.get(check) ?? []), title]);
  return new Map([...titles].map(([check, found]) => [check, [...new Set(found)].join('; ')]));
}

/**
 * The decisions sheet as it is first written: a row for each open finding, with `decision`, `who` and `why` left for people.
 * A frame's finding that stands on its garment too has one row, the frame's.
 */
export function firstDecisionSheet({ garments, frames }: Pick<Results, 'garments' | 'frames'>): string {
  const rows = garments.flatMap((garment) => {
    const own = frames.filter((frame) => frame.garment === garment.id);
    const ofFrame = ({ check, frames: about = [] }: Finding): boolean =>
      about.length === 1 &&
      own.some(({ id, findings }) => id === about[0] && findings.some((finding) => finding.check === check));
    const set = openChecks(garment.findings.filter((finding) => !ofFrame(finding)));
    return [
      ...[...set].map(([check, found]) => [garment.id, '', check, found, '', '', '']),
      ...own.flatMap((frame) =>
        [...openChecks(frame.findings)].map(([check, found]) => [
          garment.id,
          frame.id,
          check,
          found,
          '',
          '',
          '',
        ]),
      ),
    ];
  });
  return toCsv(decisionColumns, rows);
}
