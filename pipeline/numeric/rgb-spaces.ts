/** The RGB spaces a delivery may arrive in, and the recognition of a profile by its colorants and curve, never by its name. */
import { adaptationMatrix } from './colour/adaptation.ts';
import { type Chromaticity, xyzOfXy } from './colour/chromaticity.ts';
import { type Matrix3, multiply, type Triple } from './colour/matrix3.ts';
import { d65Xy, linearOfSrgb, matrixOfPrimaries } from './colour/srgb.ts';
import type { ToneCurve } from './icc.ts';

export const knownSpaces = ['srgb', 'adobe-rgb', 'display-p3', 'prophoto-rgb'] as const;
export type KnownSpace = (typeof knownSpaces)[number];

interface Published {
  /** CIE 1931 chromaticities of red, green, blue and white. */
  readonly chromaticities: readonly [Chromaticity, Chromaticity, Chromaticity, Chromaticity];
  readonly curve: ToneCurve;
}

/** White of ROMM RGB as ISO 22028-2 gives it. */
const d50Xy: Chromaticity = [0.3457, 0.3585];

const rgbSpaces: Readonly<Record<KnownSpace, Published>> = {
  /** IEC 61966-2-1:1999. */
  srgb: {
    chromaticities: [[0.64, 0.33], [0.3, 0.6], [0.15, 0.06], d65Xy],
    curve: linearOfSrgb,
  },
  /** Adobe RGB (1998) colour image encoding, version 2005-05, 4.3: gamma 2 + 51/256. */
  'adobe-rgb': {
    chromaticities: [[0.64, 0.33], [0.21, 0.71], [0.15, 0.06], d65Xy],
    curve: (code) => code ** (563 / 256),
  },
  /** SMPTE EG 432-1:2010 primaries with white D65 and the curve of sRGB. */
  'display-p3': {
    chromaticities: [[0.68, 0.32], [0.265, 0.69], [0.15, 0.06], d65Xy],
    curve: linearOfSrgb,
  },
  /** ROMM RGB, ISO 22028-2:2013: gamma 1.8 with a line of slope 1/16 below code 1/32. */
  'prophoto-rgb': {
    chromaticities: [[0.7347, 0.2653], [0.1596, 0.8404], [0.0366, 0.0001], d50Xy],
    curve: (code) => (code < 1 / 32 ? code / 16 : code ** 1.8),
  },
};

/** White of the profile connection space, ICC.1:2010 7.2.16. */
const connectionWhite: Triple = [0.9642, 1, 0.8249];

/** Linear RGB to XYZ relative to D50 (Bradford): columns are the colorants that a profile of this space stores. */
export function connectionMatrix(space: KnownSpace): Matrix3 {
  const [red, green, blue, white] = rgbSpaces[space].chromaticities;
  return multiply(
    adaptationMatrix(xyzOfXy(white), connectionWhite),
    matrixOfPrimaries(red, green, blue, white),
  );
}

/**
 * Colorants rounded or adapted slightly otherwise differ by up to 0.0003 among the sRGB profiles in circulation. The
 * wide spaces lie far apart, and small profiles in circulation store the slightly negative Z of P3 red as 0 and
 * take the difference, 0.001, off blue.
 */
const colorantTolerances: Readonly<Record<KnownSpace, number>> = {
  srgb: 0.0005,
  'adobe-rgb': 0.0015,
  'display-p3': 0.0015,
  'prophoto-rgb': 0.0015,
};

/**
 * In linear light. Wide enough for a ProPhoto curve without its straight toe (departs by 0.0012) and for
 * sampled curves; a plain gamma of 2.2 departs from sRGB by 0.0036 at mid-code.
 */
const curveTolerance = 0.0015;

const curveProbes = Array.from({ length: 33 }, (_, i) => i / 32);

function isSameCurve(curve: ToneCurve, published: ToneCurve): boolean {
  return curveProbes.every((code) => Math.abs(curve(code) - published(code)) <= curveTolerance);
}

/**
 * @param colorants XYZ (D50) of red, green and blue, as a profile stores them.
 * @returns the published space that colorants and curves both fit; `null` where none does.
 */
export function recogniseSpace(
  colorants: readonly [Triple, Triple, Triple],
  curves: readonly ToneCurve[],
): KnownSpace | null {
  return (
    knownSpaces.find((space) => {
      const matrix = connectionMatrix(space);
      return (
        colorants.every((colorant, column) =>
          colorant.every(
            (value, row) => Math.abs(value - matrix[row]![column]!) <= colorantTolerances[space],
          ),
        ) && curves.every((curve) => isSameCurve(curve, rgbSpaces[space].curve))
      );
    }) ?? null
  );
}
