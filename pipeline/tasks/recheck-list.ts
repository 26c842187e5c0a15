/** What became of each finding, as a list beside the report and as lines for a person. */
import { join } from 'node:path';
import { cleanText } from '../contracts/clean-text.ts';
import { codedError } from '../errors.ts';
import { toCsv } from '../report/csv.ts';
import { quantity } from '../report/words.ts';
import { writeFileAtomic } from '../store/atomic-write.ts';
import { systemCode, systemMeaning } from '../store/system-error.ts';
import type { RecheckedFrame } from './recheck.ts';

const notFoundAgain = 'not found again, but the place looks as before';

const header = [
  'garment',
  'frame',
  'retouched file',
  'what',
  'outcome',
  'before',
  'now',
  'limit',
  'check',
  'remark',
];

/** `recheck.csv` in the report. @throws CodedError `out-not-written`. */
export async function writeRecheck(report: string, frames: readonly RecheckedFrame[]): Promise<void> {
  const rows = frames.flatMap(({ garment, frame, file, findings, remark }) => {
    const own = findings.map(({ outcome, finding, now }) => [
      garment,
      frame,
      file,
      finding.title,
      outcome,
      outcome === 'new' ? '' : quantity(finding.value, finding.unit),
      now === null ? (outcome === 'cleared' ? '' : notFoundAgain) : quantity(now.value, now.unit),
      finding.limit === null ? '' : quantity(finding.limit, finding.unit),
      finding.check,
      remark ?? '',
    ]);
    return own.length > 0
      ? own
      : [[garment, frame, file, '', 'nothing to clear', '', '', '', '', remark ?? '']];
  });
  try {
    await writeFileAtomic(join(report, 'recheck.csv'), toCsv(header, rows));
  } catch (error) {
    if (systemCode(error) === null) throw error;
    throw codedError('out-not-written', { path: report, what: systemMeaning(error) }, error);
  }
}

/** A line a finding, for a person. */
export function recheckSentences(frames: readonly RecheckedFrame[]): readonly string[] {
  return frames.flatMap(({ frame, findings, remark }) => [
    ...findings.map(({ outcome, finding }) => `${cleanText(frame)}: ${outcome}: ${finding.title}`),
    ...(findings.length === 0 ? [`${cleanText(frame)}: nothing to clear`] : []),
    ...(remark === null ? [] : [`${cleanText(frame)}: ${remark}`]),
  ]);
}
