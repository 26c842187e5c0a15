import {
  type PlaceSwatches,
  type Swatch,
  type SwatchPlace,
  swatchPlaces,
} from '../../contracts/measurement/swatches.ts';
import type { Areas } from './areas.ts';
import type { PlaceAt, Trunk } from './places.ts';

/** Areas within these steps of log ratio and of log luminance form one swatch; finer ones did not compare better (street photographs, even numbers). */
const ratioStep = 0.03;
const luminanceStep = 0.4;
/** The rarest colours are left out, so that a measurement stays small. */
const mostSwatches = 160;

interface Sum {
  readonly place: SwatchPlace;
  readonly sums: [number, number, number];
  areas: number;
}

/** One number for a kind of colour. Well exposed areas stay within 160 steps of ratio and 12 of luminance: the digits do not run over. */
function keyOf(place: number, redGreen: number, blueGreen: number, luminance: number): number {
  return ((place * 1000 + redGreen) * 1000 + blueGreen) * 100 + luminance;
}

const moreFrequent = (a: Sum, b: Sum): number => b.areas - a.areas;

/** The colours of a surface, counted by place: the most frequent 160 kinds of them, in the order of places and frequency. */
export function swatchesOf(
  { count, rgb, at }: Areas,
  placeAt: PlaceAt,
  trunks: readonly Trunk[],
): PlaceSwatches[] {
  const kinds = new Map<number, Sum>();
  for (let i = 0; i < count; i++) {
    const green = rgb[3 * i + 1]!;
    const redGreen = Math.log(rgb[3 * i]! / green);
    const blueGreen = Math.log(rgb[3 * i + 2]! / green);
    const luminance = Math.log(green);
    const place = placeAt(trunks, at[2 * i]!, at[2 * i + 1]!);
    const key = keyOf(
      swatchPlaces.indexOf(place),
      Math.floor(redGreen / ratioStep),
      Math.floor(blueGreen / ratioStep),
      Math.floor(luminance / luminanceStep),
    );
    let kind = kinds.get(key);
    if (kind === undefined) {
      kind = { place, sums: [0, 0, 0], areas: 0 };
      kinds.set(key, kind);
    }
    kind.areas += 1;
    kind.sums[0] += redGreen;
    kind.sums[1] += blueGreen;
    kind.sums[2] += luminance;
  }
  // Sorting is stable and the map keeps the order of the picture, so equal counts stay in a fixed order.
  const frequent = [...kinds.values()].sort(moreFrequent).slice(0, mostSwatches);
  return swatchPlaces.flatMap((place) => {
    const here = frequent.filter((kind) => kind.place === place);
    return here.length === 0 ? [] : [{ place, swatches: here.map(meanColour) }];
  });
}

/** Four decimals: a hundredth of a mired. */
const meanColour = ({ sums, areas }: Sum): Swatch => {
  const [a, b, c] = sums.map((sum) => Math.round((sum / areas) * 1e4) / 1e4) as [number, number, number];
  return [a, b, c, areas];
};
