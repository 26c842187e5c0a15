import { uvOfXyz, xyzOfUv } from './chromaticity.ts';
import { uvOfWhiteness, type Whiteness, whitenessOfUv } from './correlated-temperature.ts';
import type { Triple } from './matrix3.ts';
import { rgbOfXyz, xyzOfRgb } from './srgb.ts';

/** Logarithms of the ratios of linear red and blue to green by which a light tints what was white under D65. */
export interface LogRatios {
  readonly redGreen: number;
  readonly blueGreen: number;
}

/** Temperature and Duv of a white surface that shows this tint in sRGB; `null` beyond 1,000 to 100,000 K. */
export function whitenessOfCast({ redGreen, blueGreen }: LogRatios): Whiteness | null {
  return whitenessOfUv(uvOfXyz(xyzOfRgb([Math.exp(redGreen), 1, Math.exp(blueGreen)])));
}

/** By how much mired and Duv change with a logarithm near D65, both taken together as independent. */
const slopes = (() => {
  const step = 0.005;
  const slope = (part: 'mired' | 'duv'): number => {
    const along = (redGreen: number, blueGreen: number): number =>
      whitenessOfCast({ redGreen, blueGreen })![part] -
      whitenessOfCast({ redGreen: -redGreen, blueGreen: -blueGreen })![part];
    return Math.hypot(along(step, 0), along(0, step)) / (2 * step);
  };
  return { mired: slope('mired'), duv: slope('duv') };
})();

/** Standard uncertainties of mired and Duv near D65 where both logarithms are uncertain by `sigma`, independently of each other. */
export function uncertaintyOfCast(sigma: number): { readonly sigmaMired: number; readonly sigmaDuv: number } {
  return { sigmaMired: sigma * slopes.mired, sigmaDuv: sigma * slopes.duv };
}

/** Log ratios of a colour in linear sRGB. */
export const logRatiosOf = ([red, green, blue]: Triple): LogRatios => ({
  redGreen: Math.log(red / green),
  blueGreen: Math.log(blue / green),
});

/** The cast under which white has this temperature and Duv: the inverse of `whitenessOfCast`. */
export function castOfWhiteness(cctK: number, duv: number): LogRatios {
  return logRatiosOf(rgbOfXyz(xyzOfUv(uvOfWhiteness(cctK, duv))));
}
