/** How a sweep's figures are said on the page, in the terminal and in the README. */
import { amount, count, figure } from '../../pipeline/contracts/wording.ts';
import type { Proportion } from '../../pipeline/numeric/proportion.ts';
import { allowanceUsed, holds, type Sweep, worstOf } from './sweep.ts';

const digits = 3;
const withMinus = (text: string): string => text.replace('-', '\u2212');

export const plain = (value: number): string => withMinus(figure(value, digits));

const said = (value: number, unit: string): string => withMinus(amount(value, unit, digits));

/** Share of the limit below which an error is but the last bits of a double. */
const noError = 1e-6;

const withPlus = (text: string): string => text.replace(/\d/, '+$&');

/** The largest error for what is allowed, and at which truth: `+0.04 px at 0.5 px`. */
export function worstError(sweep: Sweep): string {
  const { unit, over } = sweep;
  const worst = worstOf(sweep);
  const { truth, measured } = worst;
  if (measured === null) return `no number at ${said(truth, unit)}`;
  if (allowanceUsed(worst) < noError) return 'none';
  if (over !== undefined) return `${said(measured, unit)} instead of ${said(truth, unit)}`;
  const error = said(measured - truth, unit);
  return `${measured > truth ? withPlus(error) : error} at ${said(truth, unit)}`;
}

/** How much of the limit that error uses, and under which condition; empty where there is no error. */
export function worstCase(sweep: Sweep): string {
  const worst = worstOf(sweep);
  const used = allowanceUsed(worst);
  if (used < noError) return '';
  return Number.isFinite(used)
    ? `${plain(100 * used)} % of what is allowed (${worst.condition})`
    : `not allowed at all (${worst.condition})`;
}

export function verdict({ points }: Pick<Sweep, 'points'>): string {
  const outside = points.filter((point) => !holds(point)).length;
  return outside === 0 ? 'holds' : `${outside} of ${count(points.length, 'point')} outside`;
}

/** `36 of 39, 95 % interval 0.80 to 0.97`. */
export const successes = ({ successes: right, trials, low, high }: Proportion): string =>
  `${right} of ${trials}, 95 % interval ${low.toFixed(2)} to ${high.toFixed(2)}`;
