import type { Check, CheckMeta, Graded, Observation, Observed, Words } from '../contracts/check.ts';
import type { Finding } from '../contracts/finding.ts';
import { type CheckLimits, compareSeverity, grade } from './grade.ts';

/** A finding, and the frame it puts at fault where it was made on a set. */
export interface Placed {
  readonly finding: Finding;
  readonly atFault: string | null;
}

/** Where it says which limit applies, for a finding that rests on no limit. */
const noLimit = 'no limit: not measured';

interface GradedObservation {
  readonly observation: Observation;
  readonly graded: Graded;
}

/** Below 0 where `a` is milder: by severity, then by the check's own order of levels. */
function compareGraded(meta: CheckMeta, a: Graded, b: Graded): number {
  const order = Object.keys(meta.levels);
  return compareSeverity(a.severity, b.severity) || order.indexOf(a.level) - order.indexOf(b.level);
}

/** Of each group of observations the gravest, in the order in which the groups appear. */
function gravestOfEach(
  meta: CheckMeta,
  observations: readonly Observation[],
  limits: CheckLimits,
): readonly GradedObservation[] {
  const groups = new Map<string, GradedObservation>();
  for (const observation of observations) {
    const graded = grade(observation, meta, limits);
    if (graded === null) continue;
    const group = observation.group ?? observation.quantity;
    const known = groups.get(group);
    if (known === undefined || compareGraded(meta, graded, known.graded) > 0) {
      groups.set(group, { observation, graded });
    }
  }
  return [...groups.values()];
}

function finding(meta: CheckMeta, { observation, graded }: GradedObservation, words: Words): Finding {
  const quantity = meta.quantities[observation.quantity];
  const { shown = { factor: 1, unit: quantity?.unit ?? '' }, region, frames } = observation;
  const scaled = (value: number | string): number | string =>
    typeof value === 'number' && shown.factor !== 1 ? value * shown.factor : value;
  return {
    check: meta.id,
    severity: graded.severity,
    title: words.title,
    detail: words.detail,
    value: scaled(observation.value),
    limit: scaled(graded.limit),
    unit: shown.unit,
    source: graded.source,
    ...(region && { region }),
    ...(words.effort && { effort: words.effort }),
    ...(frames && { frames: [...frames] }),
  };
}

/**
 * What a check finds on what it looked at.
 * @param observed what the check's own `observe` returned.
 * @throws RangeError where an observation cannot be graded; see `grade`.
 */
export function findings(
  { meta, describe }: Pick<Check, 'meta' | 'describe'>,
  observed: Observed,
  limits: CheckLimits,
): readonly Placed[] {
  if ('notApplicable' in observed) return [];
  if ('unmeasured' in observed) {
    const { title, detail, severity } = observed.unmeasured;
    const made: Finding = {
      check: meta.id,
      severity,
      title,
      detail,
      value: null,
      limit: null,
      unit: '',
      source: noLimit,
    };
    return [{ finding: made, atFault: null }];
  }
  return gravestOfEach(meta, observed.observations, limits).map((item) => ({
    finding: finding(meta, item, describe(item.observation, item.graded)),
    atFault: item.observation.atFault ?? null,
  }));
}
