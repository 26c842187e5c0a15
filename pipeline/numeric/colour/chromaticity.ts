/** CIE 1931 xy and CIE 1960 uv chromaticities (CIE 15:2018, section 8.1 and 9.5). Dimensionless. */
import type { Triple } from './matrix3.ts';

export type Chromaticity = readonly [number, number];

export function xyOfXyz([x, y, z]: Triple): Chromaticity {
  const sum = x + y + z;
  return [x / sum, y / sum];
}

/** XYZ of a chromaticity at luminance `luminance`. */
export function xyzOfXy([x, y]: Chromaticity, luminance = 1): Triple {
  return [(luminance * x) / y, luminance, (luminance * (1 - x - y)) / y];
}

/** CIE 1960 UCS, the plane in which correlated colour temperature and Duv are defined. */
export function uvOfXy([x, y]: Chromaticity): Chromaticity {
  const denominator = -2 * x + 12 * y + 3;
  return [(4 * x) / denominator, (6 * y) / denominator];
}

export function xyOfUv([u, v]: Chromaticity): Chromaticity {
  const denominator = 2 * u - 8 * v + 4;
  return [(3 * u) / denominator, (2 * v) / denominator];
}

export function uvOfXyz(xyz: Triple): Chromaticity {
  return uvOfXy(xyOfXyz(xyz));
}

export function xyzOfUv(uv: Chromaticity, luminance = 1): Triple {
  return xyzOfXy(xyOfUv(uv), luminance);
}
