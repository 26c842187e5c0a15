import { uvOfXyz } from './chromaticity.ts';
import { type Whiteness, whitenessOfUv } from './correlated-temperature.ts';
import { xyzOfRgb } from './srgb.ts';

/** Logarithms of the ratios of linear red and blue to green by which a light tints what was white under D65. */
export interface LogRatios {
  readonly redGreen: number;
  readonly blueGreen: number;
}

/** Temperature and Duv of a white surface that shows this tint in sRGB; `null` beyond 1,000 to 100,000 K. */
export function whitenessOfCast({ redGreen, blueGreen }: LogRatios): Whiteness | null {
  return whitenessOfUv(uvOfXyz(xyzOfRgb([Math.exp(redGreen), 1, Math.exp(blueGreen)])));
}

/** How many mired a step of the logarithmic ratio of red to blue is worth near D65, for carrying over a spread; from `whitenessOfCast`. */
export function miredPerLogRatio(): number {
  const step = 0.01;
  const warmer = whitenessOfCast({ redGreen: step / 2, blueGreen: -step / 2 })!;
  const cooler = whitenessOfCast({ redGreen: -step / 2, blueGreen: step / 2 })!;
  return (warmer.mired - cooler.mired) / (2 * step);
}
