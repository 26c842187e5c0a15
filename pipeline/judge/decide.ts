/** The one rule by which a person has the last word. */
import type { JudgedFrame } from '../contracts/check.ts';
import { cleanText } from '../contracts/clean-text.ts';
import type { Decided } from '../contracts/decisions.ts';
import type { Finding, Severity } from '../contracts/finding.ts';
import type { Results } from '../contracts/results.ts';

/** Target and check to what was decided. */
export type DecidedFor = (kind: 'frame' | 'garment', id: string, check: string) => Decided | undefined;

const plain = (id: string): string => id.normalize('NFC');

/** A lookup over the rows of a sheet; spreadsheet programs may compose letters anew, so ids are compared in one form. */
export function decisionsBy(rows: readonly Decided[]): DecidedFor {
  const key = (kind: string, id: string, check: string): string => JSON.stringify([kind, plain(id), check]);
  const byKey = new Map(rows.map((row) => [key(row.target.kind, row.target.id, row.check), row]));
  return (kind, id, check) => byKey.get(key(kind, id, check));
}

/**
 * What a finding counts as in a verdict: nothing but a note once it is accepted; at least a cleanup once somebody insists on it;
 * otherwise what was measured.
 */
export function countsAs({ severity, decision }: Pick<Finding, 'severity' | 'decision'>): Severity {
  if (decision === undefined) return severity;
  if (decision.decided === 'accept') return 'note';
  return severity === 'reject' ? 'reject' : 'cleanup';
}

/** An unreadable frame stays unreadable; accepting that leaves it out, and the garment goes on without it. */
export function isLeftOut({ verdict, findings }: Pick<JudgedFrame, 'verdict' | 'findings'>): boolean {
  return verdict === 'unreadable' && findings.every((finding) => countsAs(finding) === 'note');
}

/** Findings of a frame with what was decided: on the frame itself, else on its whole garment. */
export function decideFrame(
  made: readonly Finding[],
  frame: string,
  garment: string,
  decided: DecidedFor,
): readonly Finding[] {
  return made.map((finding) => {
    const row = decided('frame', frame, finding.check) ?? decided('garment', garment, finding.check);
    return row === undefined ? finding : { ...finding, decision: row.decision };
  });
}

/** Findings of a set with what was decided: on the one frame they are about, else on the garment. */
export function decideSet(
  made: readonly Finding[],
  garment: string,
  decided: DecidedFor,
): readonly Finding[] {
  return made.map((finding) => {
    const only = finding.frames?.length === 1 ? finding.frames[0] : undefined;
    const row =
      (only === undefined ? undefined : decided('frame', only, finding.check)) ??
      decided('garment', garment, finding.check);
    return row === undefined ? finding : { ...finding, decision: row.decision };
  });
}

/** A sentence for each row of the sheet that decides about nothing in this delivery: a slip, or something that is mended by now. */
export function idleDecisions(
  rows: readonly Decided[],
  { garments, frames }: Pick<Results, 'garments' | 'frames'>,
): readonly string[] {
  if (rows.length === 0) return [];
  const garmentOf = new Map(frames.map(({ id, garment }) => [plain(id), garment]));
  const found = new Set(
    [...garments, ...frames].flatMap(({ id, findings }) =>
      findings.map(({ check }) => JSON.stringify([plain(id), check])),
    ),
  );
  for (const { garment, findings } of frames)
    for (const { check } of findings) found.add(JSON.stringify([plain(garment), check]));
  const known = new Set([...garments.map(({ id }) => plain(id)), ...garmentOf.keys()]);
  return rows.flatMap(({ row, target, check }) => {
    const name = `"${cleanText(target.id, 80)}"`;
    if (!known.has(plain(target.id)))
      return [`Row ${row} of the decisions: the ${target.kind} ${name} is not in this delivery.`];
    if (!found.has(JSON.stringify([plain(target.id), check])))
      return [`Row ${row} of the decisions has no effect: ${name} has no finding of ${check}.`];
    return [];
  });
}
