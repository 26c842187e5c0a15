/** The end of a run: outcomes into verdicts, verdicts into `results.json` and every document, all on disk. */
import type { Delivery } from '../contracts/delivery.ts';
import type { Measurement } from '../contracts/measurement/measurement.ts';
import { type Results, resultsSchema } from '../contracts/results.ts';
import type { FrameOutcome } from '../contracts/work.ts';
import { codedError } from '../errors.ts';
import { regroup } from '../intake/by-capture/regroup.ts';
import type { DecisionSheet } from '../intake/decisions.ts';
import { dayOf } from '../judge/day/day.ts';
import { idleDecisions } from '../judge/decide.ts';
import { judgeDelivery, type Measured } from '../judge/judge-delivery.ts';
import { resultsJsonSchema } from '../judge/results-schema.ts';
import type { Profile } from '../profile/profile.ts';
import { renderDocuments } from '../report/index.ts';
import { picturesFolder } from '../report/links.ts';
import { readStored, type Stored } from '../store/measurement-store.ts';
import { documentSources } from './document-sources.ts';
import { writeFirstSheet } from './first-decision-sheet.ts';
import { fullSizeMasks } from './full-size-masks.ts';
import { toolFacts } from './tool-facts.ts';
import { type RunFile, writeRunFiles } from './written-documents.ts';

/** Measurements read at once: far below any limit on open files. */
const atOnce = 16;

export interface RunFacts {
  readonly delivery: Delivery;
  /** One a frame, in the delivery's order. */
  readonly outcomes: readonly FrameOutcome[];
  readonly profile: Profile;
  /** Output folder, absolute. */
  readonly out: string;
  /** Folder of the measurement store. */
  readonly cache: string;
  /** Measurement version. */
  readonly version: string;
  readonly startedAt: Date;
  readonly host: string;
  /** Name of the dispatcher. */
  readonly dispatch: string;
  /** What people decided; a sheet that is not there yet is written, with every open finding in it. */
  readonly decisions: DecisionSheet;
  /** Body to what is added to its clock, ms, where a person says it. */
  readonly clocks?: ReadonlyMap<string, number>;
}

function measurementsOf(measured: ReadonlyMap<string, Measured>): ReadonlyMap<string, Measurement> {
  return new Map(
    [...measured].flatMap(([id, one]) => ('measurement' in one ? [[id, one.measurement] as const] : [])),
  );
}

interface Gathered {
  readonly measured: ReadonlyMap<string, Measured>;
  readonly pictures: readonly RunFile[];
}

async function storedOf(outcome: FrameOutcome, { cache, version }: RunFacts): Promise<Stored> {
  if (!outcome.ok) return { ok: false, reason: outcome.reason };
  const stored = await readStored(cache, outcome.contentHash, version);
  return stored ?? { ok: false, reason: codedError('measurement-gone', {}).message };
}

async function gather(facts: RunFacts): Promise<Gathered> {
  const measured = new Map<string, Measured>();
  const pictures = new Map<string, RunFile>();
  for (let start = 0; start < facts.outcomes.length; start += atOnce) {
    const some = facts.outcomes.slice(start, start + atOnce);
    const stored = await Promise.all(some.map((outcome) => storedOf(outcome, facts)));
    some.forEach(({ frameId }, index) => {
      const one = stored[index]!;
      measured.set(frameId, one.ok ? { measurement: one.measurement } : { reason: one.reason });
      if (!one.ok) return;
      const folder = picturesFolder(one.measurement.contentHash);
      // Two frames with the same bytes share their pictures.
      // Masks go out in the size of the frame, to the retoucher.
      for (const { name, path } of one.evidence.filter((picture) => picture.name.endsWith('.jpg')))
        pictures.set(`${folder}/${name}`, { path: `${folder}/${name}`, from: path });
    });
  }
  return { measured, pictures: [...pictures.values()] };
}

/**
 * Judges the delivery, writes `results.json`, its schema, the pictures and every document, and removes documents of earlier
 * runs that are not among them. The same bytes, profile and version give the same files, except for `run`.
 *
 * @throws CodedError `out-not-written`.
 */
export async function writeRun(facts: RunFacts): Promise<Results> {
  const { profile, out, version, startedAt, host, dispatch, decisions } = facts;
  const { measured, pictures } = await gather(facts);
  const { delivery, clocks } = regroup(facts.delivery, measurementsOf(measured), facts.clocks);
  const judged = judgeDelivery(delivery, measured, profile, decisions.rows);
  const notWritten = decisions.found ? [] : await writeFirstSheet(decisions.path, judged);
  // The schema also settles the order of the keys.
  const results = resultsSchema.parse({
    schema: 'nightrail/results@1',
    run: { startedAt: startedAt.toISOString(), finishedAt: new Date().toISOString(), host, dispatch },
    tool: await toolFacts(version),
    profile: { name: profile.name, hash: profile.hash, checks: profile.checks },
    remarks: [...delivery.remarks, ...idleDecisions(decisions.rows, judged), ...notWritten],
    day: dayOf(judged.frames, Object.fromEntries(clocks.map(({ body, shiftMs }) => [body, shiftMs / 1000]))),
    ...judged,
  });
  await writeRunFiles(out, [
    ...pictures,
    ...(await fullSizeMasks(results, facts.cache, version)),
    { path: 'results.schema.json', body: `${JSON.stringify(resultsJsonSchema(), null, 2)}\n` },
    { path: 'results.json', body: `${JSON.stringify(results, null, 2)}\n` },
    ...(await renderDocuments(results, await documentSources(pictures))),
  ]);
  return results;
}
