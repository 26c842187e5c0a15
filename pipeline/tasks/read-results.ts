import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { type Results, resultsSchema } from '../contracts/results.ts';
import { codedError } from '../errors.ts';
import { systemCode, systemMeaning } from '../store/system-error.ts';

/**
 * The results of an earlier run.
 * @param report the run's output folder.
 * @throws CodedError `results-not-read` (usage).
 */
export async function readResults(report: string): Promise<Results> {
  const path = join(report, 'results.json');
  const fail = (what: string, cause: unknown): Error => codedError('results-not-read', { path, what }, cause);
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    if (systemCode(error) === null) throw error;
    throw fail(systemMeaning(error), error);
  }
  try {
    return resultsSchema.parse(JSON.parse(text));
  } catch (error) {
    throw fail('they were not written by this version of Nightrail', error);
  }
}
