/** From the store to the results of a run: what a changed limit costs, however many frames there are. */
import type { Results } from '../contracts/results.ts';
import type { FrameOutcome } from '../contracts/work.ts';
import { openComparedSets } from './compared-sets.ts';
import { type GatheredFrame, gather } from './gather.ts';
import { type JudgeFacts, judgeRun } from './judge-run.ts';

export interface StoredFacts extends JudgeFacts {
  /** One a frame, in the delivery's order. */
  readonly outcomes: readonly FrameOutcome[];
  /** Folder of the measurement store. */
  readonly cache: string;
}

/**
 * Judges what is stored; sets of frames that were never compared are compared, and how they compare is kept.
 * @throws CodedError `out-not-written`.
 */
export async function judgeStored(
  facts: StoredFacts,
): Promise<{ readonly judged: Results; readonly gathered: ReadonlyMap<string, GatheredFrame> }> {
  const { outcomes, cache, version } = facts;
  const gathered = await gather(outcomes, cache, version);
  const compared = await openComparedSets(cache, version);
  const judged = await judgeRun(facts, gathered, compared.driftOf);
  await compared.keep();
  return { judged, gathered };
}
