/** The end of a run: outcomes into verdicts, verdicts into `results.json` and every document, all on disk. */
import type { Results } from '../contracts/results.ts';
import { resultsJsonSchema } from '../judge/results-schema.ts';
import { renderDocuments } from '../report/index.ts';
import { documentSources } from './document-sources.ts';
import { writeFirstSheet } from './first-decision-sheet.ts';
import { fullSizeMasks } from './full-size-masks.ts';
import { picturesOf } from './gather.ts';
import { judgeStored, type StoredFacts } from './judge-stored.ts';
import { orderedResults, resultsFile } from './results-file.ts';
import { writeRunFiles } from './written-documents.ts';

export interface RunFacts extends StoredFacts {
  /** Output folder, absolute. */
  readonly out: string;
}

/**
 * Judges the delivery, writes `results.json`, its schema, the pictures and every document, and removes documents of earlier
 * runs that are not among them. The same bytes, profile and version give the same files, except for `run`. A decisions sheet
 * that is not there yet is written, with every open finding in it.
 *
 * @throws CodedError `out-not-written`.
 */
export async function writeRun(facts: RunFacts): Promise<Results> {
  const { out, cache, version, decisions } = facts;
  const { judged, gathered } = await judgeStored(facts);
  const notWritten = decisions.found ? [] : await writeFirstSheet(decisions.path, judged);
  const results = orderedResults({ ...judged, remarks: [...judged.remarks, ...notWritten] });
  const pictures = picturesOf(gathered);
  await writeRunFiles(out, [
    ...pictures,
    ...(await fullSizeMasks(results, cache, version)),
    { path: 'results.schema.json', body: `${JSON.stringify(resultsJsonSchema(), null, 2)}\n` },
    { path: 'results.json', body: resultsFile(results) },
    ...(await renderDocuments(results, await documentSources(pictures))),
  ]);
  return results;
}
