/** The last part of every run: verdicts, documents, and what they come to. */
import type { Logger } from 'pino';
import { type RunFacts, writeRun } from '../../pipeline/tasks/write-run.ts';
import type { ExitStatus } from './exit-status.ts';
import { statusOfResults, summaryObject, summarySentences } from './summary.ts';
import { say, type Terminal } from './terminal.ts';

export interface RunSpeech {
  readonly terminal: Terminal;
  readonly log: Logger;
  /** The summary as one object for a script. */
  readonly json: boolean;
  /** When the run began, ms of the process's monotonic clock. */
  readonly beganMs: number;
}

/**
 * Writes everything and says what came out.
 * @throws CodedError `out-not-written`.
 */
export async function completeRun(
  facts: RunFacts,
  { terminal, log, json, beganMs }: RunSpeech,
): Promise<ExitStatus> {
  const { outcomes, out, decisions } = facts;
  const results = await writeRun(facts);
  const fromCache = outcomes.filter((outcome) => outcome.fromCache).length;
  const end = {
    results,
    out,
    measured: outcomes.length - fromCache,
    fromCache,
    tookMs: performance.now() - beganMs,
    decisions: decisions.path,
  };
  log.info({ summary: summaryObject(end) }, 'run complete');
  if (json) terminal.out.write(`${JSON.stringify(summaryObject(end))}\n`);
  else for (const line of summarySentences(end)) say(terminal.out, line);
  return statusOfResults(results);
}
