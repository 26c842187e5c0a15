/**
 * sRGB (IEC 61966-2-1:1999): transfer function and primaries, white D65, 2 degree observer.
 * Linear components are relative luminances of the primaries: 0 black, 1 the white of the space; XYZ has Y = 1 for that white.
 */
import { type Chromaticity, xyzOfXy } from './chromaticity.ts';
import { apply, diagonal, invert, type Matrix3, multiply, type Triple } from './matrix3.ts';

/** Chromaticity of the white of the space, IEC 61966-2-1 and CIE 15 (rounded as published). */
export const d65Xy: Chromaticity = [0.3127, 0.329];
export const d65Xyz: Triple = xyzOfXy(d65Xy);

/** `encoded` 0..1 (code / 255) to linear 0..1. Published constants; at the joint the two branches differ by 1e-8. */
export function linearOfSrgb(encoded: number): number {
  return encoded <= 0.04045 ? encoded / 12.92 : ((encoded + 0.055) / 1.055) ** 2.4;
}

/** Linear 0..1 to encoded 0..1; values outside are carried on along the same curve, black below 0 linearly. */
export function srgbOfLinear(linear: number): number {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}

/** Linear value of every 8-bit code. */
export const linearOfByte: Float64Array = Float64Array.from({ length: 256 }, (_, code) =>
  linearOfSrgb(code / 255),
);

/** Nearest 8-bit code, clamped to 0..255. */
export function byteOfLinear(linear: number): number {
  return Math.min(255, Math.max(0, Math.round(255 * srgbOfLinear(linear))));
}

/** Linear RGB to XYZ, worked out from the published primaries and white, so that it inverts exactly. */
export const xyzOfRgbMatrix: Matrix3 = matrixOfPrimaries([0.64, 0.33], [0.3, 0.6], [0.15, 0.06], d65Xy);
export const rgbOfXyzMatrix: Matrix3 = invert(xyzOfRgbMatrix);

/** Weights of linear R, G and B in the relative luminance Y. */
export const luminanceWeights: Triple = xyzOfRgbMatrix[1];

/** Relative luminance that every 8-bit code of red, of green and of blue adds. */
export const luminanceOfByte = luminanceWeights.map((weight) =>
  linearOfByte.map((linear) => weight * linear),
) as [red: Float64Array, green: Float64Array, blue: Float64Array];

export function xyzOfRgb(rgb: Triple): Triple {
  return apply(xyzOfRgbMatrix, rgb);
}

export function rgbOfXyz(xyz: Triple): Triple {
  return apply(rgbOfXyzMatrix, xyz);
}

/** Matrix from linear RGB to XYZ of a space given by the chromaticities of its primaries and of its white (SMPTE RP 177). */
export function matrixOfPrimaries(
  red: Chromaticity,
  green: Chromaticity,
  blue: Chromaticity,
  white: Chromaticity,
): Matrix3 {
  const [r, g, b] = [xyzOfXy(red), xyzOfXy(green), xyzOfXy(blue)];
  const columns: Matrix3 = [
    [r[0], g[0], b[0]],
    [r[1], g[1], b[1]],
    [r[2], g[2], b[2]],
  ];
  return multiply(columns, diagonal(apply(invert(columns), xyzOfXy(white))));
}
