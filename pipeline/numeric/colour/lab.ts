/** CIELAB (CIE 15:2018 section 8.2.1; ISO/CIE 11664-4). XYZ relative to a white of Y = 1; L* 0..100, a* and b* open. */
import type { Triple } from './matrix3.ts';
import { d65Xyz, rgbOfXyz, xyzOfRgb } from './srgb.ts';

/** (6/29)^3 and (29/3)^3, the exact constants of CIE 15. */
const epsilon = 216 / 24389;
const kappa = 24389 / 27;

export function labOfXyz([x, y, z]: Triple, [xn, yn, zn]: Triple = d65Xyz): Triple {
  const fx = f(x / xn);
  const fy = f(y / yn);
  const fz = f(z / zn);
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

export function xyzOfLab([lightness, a, b]: Triple, [xn, yn, zn]: Triple = d65Xyz): Triple {
  const fy = (lightness + 16) / 116;
  return [xn * inverse(fy + a / 500), yn * inverse(fy), zn * inverse(fy - b / 200)];
}

/** Linear sRGB to CIELAB under D65. */
export function labOfRgb(rgb: Triple): Triple {
  return labOfXyz(xyzOfRgb(rgb));
}

/** CIELAB under D65 to linear sRGB; components outside 0..1 are colours outside the space. */
export function rgbOfLab(lab: Triple): Triple {
  return rgbOfXyz(xyzOfLab(lab));
}

/** L* of a relative luminance Y (0..1). */
export function lightnessOfLuminance(luminance: number): number {
  return 116 * f(luminance) - 16;
}

function f(t: number): number {
  return t > epsilon ? Math.cbrt(t) : (kappa * t + 16) / 116;
}

function inverse(t: number): number {
  return t ** 3 > epsilon ? t ** 3 : (116 * t - 16) / kappa;
}
