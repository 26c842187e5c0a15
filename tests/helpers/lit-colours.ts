import type { Colour } from '../../pipeline/contracts/measurement/colour.ts';
import type { PlaceSwatches, SwatchPlace } from '../../pipeline/contracts/measurement/swatches.ts';
import { type LogRatios, logRatiosOf } from '../../pipeline/numeric/colour/cast.ts';
import { uvOfXyz, xyzOfUv } from '../../pipeline/numeric/colour/chromaticity.ts';
import { uvOfWhiteness, whitenessOfUv } from '../../pipeline/numeric/colour/correlated-temperature.ts';
import { d65Xyz, rgbOfXyz } from '../../pipeline/numeric/colour/srgb.ts';

const d65 = whitenessOfUv(uvOfXyz(d65Xyz))!;

/** Log ratios of white under a light that many mired and Duv from D65. */
export function lightAt(mired: number, duv = 0): LogRatios {
  return logRatiosOf(rgbOfXyz(xyzOfUv(uvOfWhiteness(1e6 / (d65.mired + mired), d65.duv + duv))));
}

/** A dyed cloth or a patch of skin in three shades of light: log red/green, log blue/green, and how much of it shows. */
export type Material = readonly [redGreen: number, blueGreen: number, areas: number];

/** Swatches of materials under a light (von Kries in linear sRGB), `stops` brighter or darker. */
export function swatchesUnder(
  { redGreen, blueGreen }: LogRatios,
  materials: Readonly<Partial<Record<SwatchPlace, readonly Material[]>>>,
  stops = 0,
): PlaceSwatches[] {
  return (Object.keys(materials) as SwatchPlace[]).map((place) => ({
    place,
    swatches: materials[place]!.flatMap(([red, blue, areas]) =>
      [-1.2, -0.9, -0.6].map((green): PlaceSwatches['swatches'][number] => [
        red + redGreen,
        blue + blueGreen,
        green + stops * Math.LN2,
        areas,
      ]),
    ),
  }));
}

/** A whole figure in two cloths. */
export const figure: Readonly<Partial<Record<SwatchPlace, readonly Material[]>>> = {
  'upper-cloth': [[0.4, -0.3, 300]],
  'middle-cloth': [
    [0.4, -0.3, 100],
    [-0.2, 0.25, 200],
  ],
  'lower-cloth': [[-0.2, 0.25, 500]],
  'head-skin': [[0.7, -0.5, 80]],
};

export const colourUnder = (mired: number, materials = figure, duv = 0): Partial<Colour> => ({
  swatches: swatchesUnder(lightAt(mired, duv), materials),
});
