import type { Box } from '../contracts/box.ts';
import type { Finding } from '../contracts/finding.ts';
import { countsAs } from './decide.ts';

/** What became of the findings of a frame after it was retouched. */

export const outcomes = ['cleared', 'still there', 'new'] as const;
export type Outcome = (typeof outcomes)[number];

export interface Rechecked {
  readonly outcome: Outcome;
  /** As it was found before; as it is found now where it is new. */
  readonly finding: Finding;
  /** What is found now; `null` where it is cleared, or not found again in a place that did not change. */
  readonly now: Finding | null;
}

/** Found by being seen in a place, not by a number: where the place looks as before, it still is there, found again or not. */
const seen = 'background-person';

/** Two places are the same where this much of the smaller one lies in the other: boxes of one person move a little from run to run. */
const samePlaceShare = 0.5;

function overlapShare(a: Box, b: Box): number {
  const width = Math.min(a[0] + a[2], b[0] + b[2]) - Math.max(a[0], b[0]);
  const height = Math.min(a[1] + a[3], b[1] + b[3]) - Math.max(a[1], b[1]);
  const smaller = Math.min(a[2] * a[3], b[2] * b[3]);
  return width <= 0 || height <= 0 || smaller <= 0 ? 0 : (width * height) / smaller;
}

/** How well two findings are one and the same; 0 where they are not. */
function sameness(before: Finding, now: Finding): number {
  if (before.check !== now.check) return 0;
  if (!before.region || !now.region) return 1;
  const share = overlapShare(before.region, now.region);
  return share >= samePlaceShare ? share : 0;
}

/**
 * A number that has come down to a note asks for nothing any more. Something seen in its old place is still there, also where it is
 * now taken for less: a person half painted out may look like a statue.
 */
const isCleared = (before: Finding, now: Finding): boolean =>
  now.severity === 'note' && !(before.region && now.region);

const isOpen = (finding: Finding): boolean => countsAs(finding) !== 'note';

/**
 * Each finding is matched with at most one of the other side, the best matches first. Findings that a person accepted, and notes,
 * are matched too, so that what they stand for is not called new, and are left out of the answer.
 * @param measured false where the retouched file could not be measured: then nothing is cleared.
 * @param isUnchanged whether a place shows the very same as before.
 */
export function recheckFindings(
  before: readonly Finding[],
  now: readonly Finding[],
  measured = true,
  isUnchanged: (place: Box) => boolean = () => false,
): readonly Rechecked[] {
  const pairs = before
    .flatMap((old, o) => now.map((fresh, n) => ({ o, n, sameness: sameness(old, fresh) })))
    .filter((pair) => pair.sameness > 0)
    .sort((a, b) => b.sameness - a.sameness);
  const nowOf = new Map<number, number>();
  const used = new Set<number>();
  for (const { o, n } of pairs) {
    if (nowOf.has(o) || used.has(n)) continue;
    nowOf.set(o, n);
    used.add(n);
  }
  const old = before.flatMap((finding, index): Rechecked[] => {
    if (!isOpen(finding)) return [];
    const at = nowOf.get(index);
    const fresh = at === undefined ? undefined : now[at];
    if (!measured) return [{ outcome: 'still there', finding, now: fresh ?? null }];
    const untouched = finding.check === seen && finding.region !== undefined && isUnchanged(finding.region);
    if (fresh === undefined && untouched) return [{ outcome: 'still there', finding, now: null }];
    return fresh === undefined || isCleared(finding, fresh)
      ? [{ outcome: 'cleared', finding, now: null }]
      : [{ outcome: 'still there', finding, now: fresh }];
  });
  const added = now.flatMap((finding, index): Rechecked[] =>
    used.has(index) || finding.severity === 'note' ? [] : [{ outcome: 'new', finding, now: finding }],
  );
  return [...old, ...added];
}
