import type { ColourEvidence } from '../../contracts/measurement/colour.ts';
import { type LogRatios, uncertaintyOfCast, whitenessOfCast } from '../../numeric/colour/cast.ts';
import { bootstrap, standardDeviation } from '../../numeric/statistics.ts';

/** The cast left in a frame as one kind of evidence tells it, with its standard uncertainties. */
export interface Estimate {
  readonly cast: LogRatios;
  readonly sigmaMired: number;
  readonly sigmaDuv: number;
  readonly reference: ColourEvidence;
}

const resamples = 64;

/**
 * A cast from many readings, with its uncertainty by bootstrap.
 *
 * @param castOf of the readings with these numbers, some of them several times.
 * @param doubt standard uncertainty of both log ratios that more readings do not make smaller.
 */
export function bootstrapped(
  count: number,
  castOf: (drawn: ArrayLike<number>) => LogRatios,
  doubt: number,
  reference: ColourEvidence,
): Estimate {
  const spread = bootstrap(count, resamples, 1, (drawn) => whitenessOfCast(castOf(drawn)));
  const { sigmaMired, sigmaDuv } = uncertaintyOfCast(doubt);
  return {
    cast: castOf(Array.from({ length: count }, (_, index) => index)),
    sigmaMired: Math.hypot(standardDeviation(spread.map(({ mired }) => mired)), sigmaMired),
    sigmaDuv: Math.hypot(standardDeviation(spread.map(({ duv }) => duv)), sigmaDuv),
    reference,
  };
}
