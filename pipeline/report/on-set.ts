/** What a crew needs to hear while the garment is still on set: what is missing, what to shoot again, and why. */
import type { Finding } from '../contracts/finding.ts';
import type { FrameResult, GarmentResult, Results } from '../contracts/results.ts';
import { missingTogether } from './store-rows.ts';
import { asksForWork, count, listing } from './words.ts';

/** One line of advice. `now`: the set cannot be delivered without it. */
export interface OnSetLine {
  readonly now: boolean;
  readonly text: string;
}

/** Said in lines of their own. */
const toldApart = new Set(['missing-view', 'dropped-frame']);

const fileName = (id: string): string => id.split('/').at(-1) ?? id;
const titles = (findings: readonly Finding[]): string =>
  [...new Set(findings.filter(asksForWork).map(({ title }) => title))].join('; ');

/** The frame in a few words: verdict, and what it suffers from. */
export function frameLine({ id, verdict, findings }: FrameResult): string {
  const why = verdict === 'unreadable' ? (findings[0]?.detail ?? '') : titles(findings);
  return `${fileName(id)}: ${verdict}${why === '' ? '' : `. ${why}`}`;
}

function tally(garment: GarmentResult, frames: readonly FrameResult[]): string {
  const of = (verdict: string): number => frames.filter((frame) => frame.verdict === verdict).length;
  const parts = ['pass', 'cleanup', 'reject', 'unreadable'].flatMap((verdict) =>
    of(verdict) > 0 ? [`${of(verdict)} ${verdict}`] : [],
  );
  return `${garment.id}: ${count(frames.length, 'frame')}, ${listing(parts)}.`;
}

/** A rejected frame that alone shows something, with all that is said against it. */
function shootAgain({ id, findings }: FrameResult): OnSetLine {
  const against = findings.filter(({ severity }) => severity === 'reject').filter(asksForWork);
  const why = against.map(({ title, detail }) => `${title}. ${detail}`);
  return { now: true, text: `Shoot again ${fileName(id)}: ${why.join(' ')}` };
}

/** The garment as it stands: a line with its count, then what to do, the most urgent first. */
export function onSetLines(garment: GarmentResult, results: Results): readonly OnSetLine[] {
  const frames = results.frames.filter((frame) => frame.garment === garment.id);
  const open = garment.findings.filter(asksForWork);
  const lost = open.filter(({ check, severity }) => check === 'missing-view' && severity === 'reject');
  const unsure = open.filter(({ check, severity }) => check === 'missing-view' && severity === 'unmeasured');
  const alone = new Set(lost.flatMap((finding) => finding.frames ?? []));
  const covering = new Set(Object.values(garment.coverage.covered));
  const rejected = frames.filter(({ verdict }) => verdict === 'reject');
  const lines: OnSetLine[] = [
    ...missingTogether(lost.map(({ title }) => title)).map((title) => ({ now: true, text: `${title}.` })),
    ...rejected.filter(({ id }) => alone.has(id)).map(shootAgain),
    ...frames
      .filter(({ verdict }) => verdict === 'unreadable')
      .map(({ id, findings }) => ({ now: true, text: `${fileName(id)}: ${findings[0]?.detail ?? ''}` })),
    ...unsure.map(({ title, detail }) => ({ now: true, text: `${title}. ${detail}` })),
    ...frames
      .filter(({ id, verdict }) => verdict === 'cleanup' && covering.has(id))
      .map(({ id, findings }) => ({
        now: false,
        text: `If there is time, ${fileName(id)} once more: ${titles(findings)}.`,
      })),
    ...rejected
      .filter(({ id }) => !alone.has(id))
      .map(({ id, findings }) => ({
        now: false,
        text: `Others show the same as ${fileName(id)}, which is left out: ${titles(findings)}.`,
      })),
  ];
  const ofSet = titles(garment.findings.filter(({ check }) => !toldApart.has(check)));
  if (ofSet !== '') lines.push({ now: false, text: `The set: ${ofSet}.` });
  const nothing = lines.some(({ now }) => now) ? '' : ' Nothing is missing.';
  return [{ now: false, text: `${tally(garment, frames)}${nothing}` }, ...lines];
}
