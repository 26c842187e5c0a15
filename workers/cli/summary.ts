/** What a run says at its end: sentences for a person, one object for a script. */
import { join } from 'node:path';
import type { Finding } from '../../pipeline/contracts/finding.ts';
import type { GarmentResult, Results } from '../../pipeline/contracts/results.ts';
import { type ExitStatus, exitStatus } from './exit-status.ts';
import { roughDuration } from './progress.ts';

/** Garments or frames named one by one; the rest are in the documents. */
const named = 5;

export interface RunEnd {
  readonly results: Results;
  readonly out: string;
  readonly measured: number;
  readonly fromCache: number;
  readonly tookMs: number;
  /** The sheet of people's decisions. */
  readonly decisions: string;
}

function count<K extends string>(verdicts: readonly K[], of: readonly K[]): Record<K, number> {
  return Object.fromEntries(
    of.map((each) => [each, verdicts.filter((verdict) => verdict === each).length]),
  ) as Record<K, number>;
}

function counts({ garments, frames }: Results) {
  return {
    garments: count(
      garments.map(({ verdict }) => verdict),
      ['pass', 'cleanup', 'reshoot'],
    ),
    frames: count(
      frames.map(({ verdict }) => verdict),
      ['pass', 'cleanup', 'reject', 'unreadable'],
    ),
  };
}

export function statusOfResults({ garments }: Results): ExitStatus {
  return garments.every(({ verdict }) => verdict === 'pass') ? exitStatus.pass : exitStatus.findings;
}

const some = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

/** Why a garment must be shot again, in a few words: its own gravest finding, else its first rejected frame's. */
function whyReshoot(garment: GarmentResult, { frames }: Results): string {
  const counts = ({ severity, decision }: Finding) => severity === 'reject' && decision?.decided !== 'accept';
  const own = garment.findings.find(counts);
  if (own !== undefined) return own.title;
  const rejected = frames.filter(({ garment: id, verdict }) => id === garment.id && verdict === 'reject');
  const first = rejected[0]?.findings.find(counts);
  return first === undefined
    ? 'see its page'
    : `${first.title} (${some(rejected.length, 'frame', 'frames')})`;
}

function listed(lines: readonly string[]): readonly string[] {
  const rest = lines.length - named;
  return rest > 0 ? [...lines.slice(0, named), `- and ${rest} more`] : lines;
}

function firstSteps(results: Results): readonly string[] {
  const { garments, frames } = results;
  const reshoot = garments.filter(({ verdict }) => verdict === 'reshoot');
  const unreadable = frames.filter(({ verdict }) => verdict === 'unreadable');
  const lines: string[] = [];
  if (reshoot.length > 0)
    lines.push(
      'First, shoot again:',
      ...listed(reshoot.map((garment) => `- ${garment.id}: ${whyReshoot(garment, results)}`)),
    );
  if (unreadable.length > 0)
    lines.push(
      `${some(unreadable.length, 'frame', 'frames')} could not be read or measured; look at:`,
      ...listed(unreadable.map(({ id, findings }) => `- ${id}: ${findings[0]?.detail ?? 'no reason given'}`)),
    );
  return lines;
}

/** Lines for a person. */
export function summarySentences(end: RunEnd): readonly string[] {
  const { results, out, measured, fromCache, tookMs, decisions } = end;
  const { garments } = counts(results);
  const known = fromCache === 0 ? '' : `, ${fromCache} known from an earlier run`;
  const total = some(results.garments.length, 'garment', 'garments');
  const { pass, cleanup, reshoot } = garments;
  return [
    `${total}: ${pass} pass, ${cleanup} need cleanup, ${reshoot} need a reshoot.`,
    `${some(measured, 'frame', 'frames')} measured in ${roughDuration(tookMs)}${known}.`,
    ...firstSteps(results),
    ...(cleanup > 0 || reshoot > 0 ? [`For the retoucher: ${join(out, 'retouch-list.csv')}`] : []),
    `For the store: ${join(out, 'store-sheet.csv')}`,
    ...(cleanup > 0 || reshoot > 0
      ? [`To accept or insist on a finding, fill in ${decisions} and run again.`]
      : []),
    `Start here: ${join(out, 'index.html')}`,
  ];
}

/** One object for a script. */
export function summaryObject(end: RunEnd): object {
  const { results, out, measured, fromCache, tookMs } = end;
  return {
    schema: 'nightrail/summary@1',
    status: statusOfResults(results),
    out,
    index: join(out, 'index.html'),
    results: join(out, 'results.json'),
    ...counts(results),
    measured,
    fromCache,
    seconds: Math.round(tookMs / 100) / 10,
    verdicts: results.garments.map(({ id, verdict }) => ({ garment: id, verdict })),
  };
}
