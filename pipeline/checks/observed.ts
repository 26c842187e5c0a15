import type { Observation, Observed } from '../contracts/check.ts';

/** Short forms for what a check returns. */

export const observed = (...observations: readonly Observation[]): Observed => ({ observations });
export const notApplicable = (why: string): Observed => ({ notApplicable: why });

/** A person must look: the verdict waits for that. */
export const unmeasured = (title: string, detail: string): Observed => ({
  unmeasured: { title, detail, severity: 'unmeasured' },
});

/** Worth saying, but another number stands in for the missing one. */
export const unmeasuredNote = (title: string, detail: string): Observed => ({
  unmeasured: { title, detail, severity: 'note' },
});

/** A reason as it stands in a measurement, as a sentence of its own. */
export function sentence(reason: string | undefined, fallback: string): string {
  const text = (reason ?? fallback).trim();
  const capital = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?]$/.test(capital) ? capital : `${capital}.`;
}
