/** Chromaticity of a black body and how it changes with temperature (Planck's law; CIE 15:2018 section 4.1.3). */
import type { Chromaticity } from './chromaticity.ts';
import { firstWavelengthNm, observerX, observerY, observerZ, wavelengthStepNm } from './observer.ts';

/** Second radiation constant, m K: the value CIE 15 uses for correlated colour temperature (ITS-90). */
const c2 = 1.4388e-2;

/** Exponent of Planck's law per mired, and the fifth power in it, wavelength by wavelength. */
const exponents = Float64Array.from(observerX, (_, i) => (c2 * 1e-6) / wavelengthM(i));
/** The constant factor of the law drops out of a chromaticity; 1e-35 keeps the sums near 1. */
const scales = Float64Array.from(observerX, (_, i) => 1e-35 / wavelengthM(i) ** 5);

export interface LocusPoint {
  /** CIE 1960 uv. */
  readonly uv: Chromaticity;
  /** d(uv) / d(mired): the direction of the locus towards lower temperatures. */
  readonly tangent: Chromaticity;
}

/**
 * Point of the Planckian locus.
 * @param mired 10^6 / T in kelvin; 1 to 1000 (T from a million down to a thousand kelvin).
 */
export function planckianPoint(mired: number): LocusPoint {
  let x = 0;
  let y = 0;
  let z = 0;
  let dx = 0;
  let dy = 0;
  let dz = 0;
  for (let i = 0; i < observerX.length; i++) {
    const exponent = exponents[i]!;
    const growth = Math.exp(exponent * mired);
    const power = scales[i]! / (growth - 1);
    const change = (-power * exponent * growth) / (growth - 1);
    x += power * observerX[i]!;
    y += power * observerY[i]!;
    z += power * observerZ[i]!;
    dx += change * observerX[i]!;
    dy += change * observerY[i]!;
    dz += change * observerZ[i]!;
  }
  const weight = x + 15 * y + 3 * z;
  const dWeight = dx + 15 * dy + 3 * dz;
  const u = (4 * x) / weight;
  const v = (6 * y) / weight;
  return {
    uv: [u, v],
    tangent: [(4 * dx - u * dWeight) / weight, (6 * dy - v * dWeight) / weight],
  };
}

function wavelengthM(index: number): number {
  return (firstWavelengthNm + wavelengthStepNm * index) * 1e-9;
}
