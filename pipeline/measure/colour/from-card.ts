import { uncertaintyOfCast, whitenessOfCast } from '../../numeric/colour/cast.ts';
import { bootstrap, standardDeviation } from '../../numeric/statistics.ts';
import type { Estimate } from './estimate.ts';
import { castOfRows, type NeutralCard } from './neutral-card.ts';

/** How neutral grey and white cards are themselves: about 0.5 in CIELAB chroma, 0.01 in log ratio; common practice. */
const cardDoubt = uncertaintyOfCast(0.01);
const resamples = 64;

/** The cast that a neutral card shows. Its rows are resampled, as noise of neighbouring px in a row hangs together. */
export function fromCard(card: NeutralCard | null): Estimate | null {
  if (card === null) return null;
  const spread = bootstrap(card.rows.length, resamples, 1, (drawn) =>
    whitenessOfCast(castOfRows([...drawn].map((row) => card.rows[row]!))),
  );
  return {
    cast: castOfRows(card.rows),
    sigmaMired: Math.hypot(standardDeviation(spread.map(({ mired }) => mired)), cardDoubt.sigmaMired),
    sigmaDuv: Math.hypot(standardDeviation(spread.map(({ duv }) => duv)), cardDoubt.sigmaDuv),
    reference: 'neutral-card',
  };
}
