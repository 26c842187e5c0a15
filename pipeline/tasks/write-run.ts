/** The end of a run: outcomes into verdicts, verdicts into `results.json` and every document, all on disk. */
import { type Results, resultsSchema } from '../contracts/results.ts';
import type { FrameOutcome } from '../contracts/work.ts';
import { resultsJsonSchema } from '../judge/results-schema.ts';
import { renderDocuments } from '../report/index.ts';
import { documentSources } from './document-sources.ts';
import { writeFirstSheet } from './first-decision-sheet.ts';
import { fullSizeMasks } from './full-size-masks.ts';
import { gather, picturesOf } from './gather.ts';
import { type JudgeFacts, judgeRun } from './judge-run.ts';
import { writeRunFiles } from './written-documents.ts';

export interface RunFacts extends JudgeFacts {
  /** One a frame, in the delivery's order. */
  readonly outcomes: readonly FrameOutcome[];
  /** Output folder, absolute. */
  readonly out: string;
  /** Folder of the measurement store. */
  readonly cache: string;
}

/**
 * Judges the delivery, writes `results.json`, its schema, the pictures and every document, and removes documents of earlier
 * runs that are not among them. The same bytes, profile and version give the same files, except for `run`. A decisions sheet
 * that is not there yet is written, with every open finding in it.
 *
 * @throws CodedError `out-not-written`.
 */
export async function writeRun(facts: RunFacts): Promise<Results> {
  const { outcomes, out, cache, version, decisions } = facts;
  const gathered = await gather(outcomes, cache, version);
  const judged = await judgeRun(facts, gathered);
  const notWritten = decisions.found ? [] : await writeFirstSheet(decisions.path, judged);
  // The schema also settles the order of the keys.
  const results = resultsSchema.parse({ ...judged, remarks: [...judged.remarks, ...notWritten] });
  const pictures = picturesOf(gathered);
  await writeRunFiles(out, [
    ...pictures,
    ...(await fullSizeMasks(results, cache, version)),
    { path: 'results.schema.json', body: `${JSON.stringify(resultsJsonSchema(), null, 2)}\n` },
    { path: 'results.json', body: `${JSON.stringify(results, null, 2)}\n` },
    ...(await renderDocuments(results, await documentSources(pictures))),
  ]);
  return results;
}
