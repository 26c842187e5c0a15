import type { SettingFault } from '../contracts/day.ts';
import type { Finding, FrameVerdict, GarmentVerdict } from '../contracts/finding.ts';
import { amount, figure as plainFigure } from '../contracts/wording.ts';

export { count, listing } from '../contracts/wording.ts';

/** Plain words and numbers for every document, so that two documents never say the same thing differently. */

export type AnyVerdict = FrameVerdict | GarmentVerdict;

/** As many digits as documents show: one more than findings, so that a value beside its limit is told from it. */
const digits = 3;

/** Three significant digits without a trailing run of zeros; whole numbers from 100 up. */
export function figure(value: number): string {
  return Number.isFinite(value) ? plainFigure(value, digits) : String(value);
}

/** `1/250 s`, `0.8 s`. */
export function exposureTime(seconds: number): string {
  return amount(seconds, 's', digits);
}

/** Whole percent. */
export function share(value: number): string {
  return `${Math.round(value * 100)} %`;
}

/** `f/1.8: 9 of 14 with soft eyes; f/2.8: 1 of 41.` */
export function settingWords({ check, rows }: SettingFault): string {
  const [first, ...rest] = rows;
  const of = ({ value, failures, trials }: SettingFault['rows'][number]): string =>
    `${value}: ${failures} of ${trials}`;
  if (first === undefined) return '';
  return `${[`${of(first)} with ${check.replaceAll('-', ' ')}`, ...rest.map(of)].join('; ')}.`;
}

/** What to do about it: what went best against what went worst, by the ends of their intervals. */
export function settingAdvice({ setting, rows }: SettingFault): string {
  const best = rows.reduce((a, b) => (b.high < a.high ? b : a));
  const worst = rows.reduce((a, b) => (b.low > a.low ? b : a));
  return setting === 'body' ? `Have ${worst.value} looked at.` : `Rather ${best.value} than ${worst.value}.`;
}

/** A value or a limit with its unit; shares of one are shown in percent. */
export function quantity(value: Finding['value'], unit: string): string {
  if (value === null) return 'not measured';
  return typeof value === 'string' ? value : amount(value, unit, digits);
}

/** What stands under a finding: value, limit and where the limit comes from. */
export function measuredAgainst(finding: Finding): string {
  const parts: string[] = [];
  if (finding.value !== null) parts.push(`measured ${quantity(finding.value, finding.unit)}`);
  if (finding.limit !== null) parts.push(`limit ${quantity(finding.limit, finding.unit)}`);
  if (finding.source !== '') parts.push(`source: ${finding.source}`);
  return parts.join(' · ');
}

/** What the garment's verdict asks for, as the studio would say it. */
export const garmentAdvice: Readonly<Record<GarmentVerdict, string>> = {
  pass: 'Ready to deliver.',
  cleanup: 'Send the marked frames to the retoucher, then check again.',
  reshoot: 'Plan a reshoot: what is missing cannot be supplied from these frames.',
};

export const frameAdvice: Readonly<Record<FrameVerdict, string>> = {
  pass: 'Deliver.',
  cleanup: 'A retoucher or a second look is needed before delivery.',
  reject: 'Leave this frame out.',
  unreadable: 'Copy the file again from the card, or leave it out.',
};

/** What a person decided about a finding; empty where nobody has. */
export function decisionWords({ decision }: Pick<Finding, 'decision'>): string {
  if (decision === undefined) return '';
  const verb = decision.decided === 'accept' ? 'Accepted' : 'Insisted on';
  return `${verb} by ${decision.who}${decision.why === '' ? '' : `: ${decision.why}`}`;
}

/** Whether a finding still asks for something: notes do only where somebody insists, accepted ones do not. */
export function asksForWork({ severity, decision }: Pick<Finding, 'severity' | 'decision'>): boolean {
  return decision === undefined ? severity !== 'note' : decision.decided === 'insist';
}
