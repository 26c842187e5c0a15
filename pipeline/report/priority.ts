import type { GarmentResult } from '../contracts/results.ts';

/** Words for a priority, common practice; a number says the same more finely. */
const words: Readonly<Record<string, number>> = {
  urgent: 1,
  high: 1,
  normal: 2,
  medium: 2,
  low: 3,
};

/** What the garment sheet says in a column called `priority`, as it stands there; empty where it says nothing. */
export function priorityText({ columns }: GarmentResult): string {
  const name = Object.keys(columns).find((key) => key.trim().toLowerCase() === 'priority');
  return name === undefined ? '' : (columns[name] ?? '').trim();
}

/** 1 is the most urgent; garments without a priority, or with a word that is none, come last. */
function rank(garment: GarmentResult): number {
  const text = priorityText(garment).toLowerCase();
  const number = text === '' ? Number.NaN : Number(text);
  return words[text] ?? (Number.isFinite(number) ? number : Number.POSITIVE_INFINITY);
}

/** The most urgent first, otherwise in the order of the delivery. */
export function byPriority(garments: readonly GarmentResult[]): readonly GarmentResult[] {
  return garments
    .map((garment) => ({ garment, rank: rank(garment) }))
    .sort((a, b) => (a.rank === b.rank ? 0 : a.rank - b.rank))
    .map(({ garment }) => garment);
}
