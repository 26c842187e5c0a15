/** Chromaticity of a phase of daylight (CIE 15:2018 section 4.1.2, after Judd, MacAdam and Wyszecki 1964). */
import type { Chromaticity } from './chromaticity.ts';

/**
 * CIE 1931 xy of daylight.
 * @param cctK 4,000 to 25,000 K. The nominal D series (D50, D65 ...) is evaluated at its number times 1.4388 / 1.4380, since c2 was revised.
 * @throws RangeError outside that range, for which the CIE gives no values.
 */
export function daylightXy(cctK: number): Chromaticity {
  if (!(cctK >= 4000 && cctK <= 25000)) {
    throw new RangeError(`The daylight locus is defined from 4000 to 25000 K, not at ${cctK} K.`);
  }
  const x =
    cctK <= 7000
      ? -4.607e9 / cctK ** 3 + 2.9678e6 / cctK ** 2 + 0.09911e3 / cctK + 0.244063
      : -2.0064e9 / cctK ** 3 + 1.9018e6 / cctK ** 2 + 0.24748e3 / cctK + 0.23704;
  return [x, -3 * x * x + 2.87 * x - 0.275];
}
