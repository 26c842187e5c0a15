import {
  type PlaceSwatches,
  type Swatch,
  type SwatchPlace,
  swatchPlaces,
} from '../../contracts/measurement/swatches.ts';
import type { Area } from './areas.ts';

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

/** The colours of a surface, counted by place: the most frequent 160 kinds of them, in the order of places and frequency. */
export function swatchesOf(
  areas: readonly Area[],
  placeOf: (at: Area['at']) => SwatchPlace,
): PlaceSwatches[] {
  const kinds = new Map<string, Sum>();
  for (const area of areas) {
    const [red, green, blue] = area.rgb;
    const colour = [Math.log(red / green), Math.log(blue / green), Math.log(green)] as const;
    const place = placeOf(area.at);
    const key = [
      place,
      Math.floor(colour[0] / ratioStep),
      Math.floor(colour[1] / ratioStep),
      Math.floor(colour[2] / luminanceStep),
    ].join();
    let kind = kinds.get(key);
    if (kind === undefined) {
      kind = { place, sums: [0, 0, 0], areas: 0 };
      kinds.set(key, kind);
    }
    kind.areas += 1;
    for (let axis = 0; axis < 3; axis += 1) kind.sums[axis]! += colour[axis]!;
  }
  // Sorting is stable and the map keeps the order of the picture, so equal counts stay in a fixed order.
  const frequent = [...kinds.values()].sort((a, b) => b.areas - a.areas).slice(0, mostSwatches);
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
