import type { ColourEvidence } from '../../contracts/measurement/colour.ts';
import type { LogRatios } from '../../numeric/colour/cast.ts';

/** The cast left in a frame as one kind of evidence tells it, with its standard uncertainties. */
export interface Estimate {
  readonly cast: LogRatios;
  readonly sigmaMired: number;
  readonly sigmaDuv: number;
  readonly reference: ColourEvidence;
}
