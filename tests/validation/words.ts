/** How a sweep's figures are said on the page, in the terminal and in the README. */
import { count, figure } from '../../pipeline/contracts/wording.ts';
import { allowanceUsed, holds, type Sweep, worstOf } from './sweep.ts';

const digits = 3;

export const plain = (value: number): string => figure(value, digits).replace('-', '\u2212');

const signed = (value: number): string => (value > 0 ? `+${plain(value)}` : plain(value));

const withUnit = (number: string, unit: string): string => (unit === '' ? number : `${number} ${unit}`);

/** The largest error for what is allowed, and at which truth: `+0.04 px at 0.5 px`. */
export function worstError(sweep: Sweep): string {
  const { truth, measured } = worstOf(sweep);
  const at = `at ${withUnit(plain(truth), sweep.unit)}`;
  return measured === null ? `no number ${at}` : `${withUnit(signed(measured - truth), sweep.unit)} ${at}`;
}

/** How much of the limit that error uses, and under which condition. */
export function worstCase(sweep: Sweep): string {
  const worst = worstOf(sweep);
  const used = allowanceUsed(worst);
  const share = Number.isFinite(used) ? `${plain(100 * used)} % of what is allowed` : 'nothing is allowed';
  return `${worst.measured === null ? 'no number was measured' : share} (${worst.condition})`;
}

export function verdict({ points }: Pick<Sweep, 'points'>): string {
  const outside = points.filter((point) => !holds(point)).length;
  return outside === 0 ? 'holds' : `${outside} of ${count(points.length, 'point')} outside`;
}
