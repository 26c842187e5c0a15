import { type CheckMeta, type Graded, type Limit, type Observation, units } from '../contracts/check.ts';
import type { Severity } from '../contracts/finding.ts';

/** Mildest first. A matter nobody could measure weighs less than one that was measured and needs work. */
const gravity: Readonly<Record<Severity, number>> = { note: 0, unmeasured: 1, cleanup: 2, reject: 3 };

/** Below 0 where `a` is milder than `b`. */
export function compareSeverity(a: Severity, b: Severity): number {
  return gravity[a] - gravity[b];
}

/** Limits of one check: quantity to level to limit. */
export type CheckLimits = Readonly<Record<string, Readonly<Record<string, Limit>>>>;

/** A value computed on its limit may be off by rounding in the last digits of a double; that much does not count as beyond. */
const roundingShare = 1e-9;

function beyond(value: number, limit: number, bad: 'above' | 'below'): boolean {
  const slack = Math.abs(limit) * roundingShare;
  return bad === 'above' ? value > limit + slack : value < limit - slack;
}

/**
 * The one place where a number meets its limits.
 *
 * Strictly beyond a limit counts, exactly on it passes. With an uncertainty the value must be beyond by more than that. Of several
 * limits passed the gravest counts, and of equally grave ones the later level of the check's own order.
 * @returns `null` where the observation is within its limits.
 * @throws RangeError on a value or uncertainty that is not a finite number (except a name for a named quantity), a quantity the
 * check does not declare or a limit the profile does not hold: each is a fault of the program.
 */
export function grade(observation: Observation, meta: CheckMeta, limits: CheckLimits): Graded | null {
  const quantity = meta.quantities[observation.quantity];
  const name = `${meta.id}.${observation.quantity}`;
  if (quantity === undefined) throw new RangeError(`${name} was observed but is not declared.`);
  const { value, uncertainty = 0 } = observation;

  if (quantity.bad === 'outside') {
    if (typeof value !== 'string' || observation.accepted === undefined) {
      throw new RangeError(`Expected a name and the accepted names for ${name}, received ${value}.`);
    }
    if (observation.accepted.names.includes(value)) return null;
    return {
      level: quantity.severity,
      severity: quantity.severity,
      limit: observation.accepted.names.join(', '),
      source: observation.accepted.source,
    };
  }

  if (typeof value !== 'number' || !Number.isFinite(value)) {
    throw new RangeError(
      `Expected a finite number for ${name} in ${units[quantity.unit].means}, received ${value}.`,
    );
  }
  if (!(Number.isFinite(uncertainty) && uncertainty >= 0)) {
    throw new RangeError(`Expected an uncertainty of 0 or more for ${name}, received ${uncertainty}.`);
  }
  const certain = quantity.bad === 'above' ? value - uncertainty : value + uncertainty;
  let worst: Graded | null = null;
  for (const level of quantity.levels) {
    const severity = meta.levels[level];
    const limit = limits[observation.quantity]?.[level];
    if (severity === undefined || limit === undefined)
      throw new RangeError(`${name} has no limit "${level}".`);
    if (limit.value === null || !beyond(certain, limit.value, quantity.bad)) continue;
    if (worst === null || compareSeverity(severity, worst.severity) >= 0) {
      worst = { level, severity, limit: limit.value, source: limit.source };
    }
  }
  return worst;
}
