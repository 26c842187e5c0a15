/** From what was measured to the results of a run, in memory: nothing is written. */
import type { Delivery } from '../contracts/delivery.ts';
import type { Results } from '../contracts/results.ts';
import { regroup } from '../intake/by-capture/regroup.ts';
import type { DecisionSheet } from '../intake/decisions.ts';
import { dayOf } from '../judge/day/day.ts';
import { idleDecisions } from '../judge/decide.ts';
import { type DriftOf, judgeDelivery } from '../judge/judge-delivery.ts';
import type { Profile } from '../profile/profile.ts';
import { type GatheredFrame, measurementsOf } from './gather.ts';
import { toolFacts } from './tool-facts.ts';

export interface JudgeFacts {
  readonly delivery: Delivery;
  readonly profile: Profile;
  /** Measurement version. */
  readonly version: string;
  readonly startedAt: Date;
  readonly host: string;
  /** Name of the dispatcher. */
  readonly dispatch: string;
  /** What people decided. */
  readonly decisions: DecisionSheet;
  /** Body to what is added to its clock, ms, where a person says it. */
  readonly clocks?: ReadonlyMap<string, number>;
}

export async function judgeRun(
  facts: JudgeFacts,
  gathered: ReadonlyMap<string, GatheredFrame>,
  driftOf?: DriftOf,
): Promise<Results> {
  const { profile, version, startedAt, host, dispatch, decisions } = facts;
  const { delivery, clocks } = regroup(facts.delivery, measurementsOf(gathered), facts.clocks);
  const measured = new Map([...gathered].map(([id, frame]) => [id, frame.measured]));
  const judged = judgeDelivery(delivery, measured, profile, decisions.rows, driftOf);
  return {
    schema: 'nightrail/results@1',
    run: { startedAt: startedAt.toISOString(), finishedAt: new Date().toISOString(), host, dispatch },
    tool: await toolFacts(version),
    profile: { name: profile.name, hash: profile.hash, checks: profile.checks },
    remarks: [...delivery.remarks, ...idleDecisions(decisions.rows, judged)],
    day: dayOf(judged.frames, Object.fromEntries(clocks.map(({ body, shiftMs }) => [body, shiftMs / 1000]))),
    ...judged,
  };
}
