import { bootstrapped, type Estimate } from './estimate.ts';
import { castOfRows, type NeutralCard } from './neutral-card.ts';

/** How neutral grey and white cards are themselves: about 0.5 in CIELAB chroma, 0.01 in log ratio; common practice. */
const cardDoubt = 0.01;

/** The cast that a neutral card shows. Its rows are resampled, as noise of neighbouring px in a row hangs together. */
export function fromCard(card: NeutralCard | null): Estimate | null {
  if (card === null) return null;
  const { rows } = card;
  const castOf = (drawn: ArrayLike<number>) => castOfRows(Array.from(drawn, (row) => rows[row]!));
  return bootstrapped(rows.length, castOf, cardDoubt, 'neutral-card');
}
