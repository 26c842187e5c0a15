import { type PlaceSwatches, type SwatchPlace, swatchPlaces } from '../../contracts/measurement/swatches.ts';
import { once } from '../../numeric/once.ts';
import { type Field, fieldOf, gridOf, type Vector } from './field.ts';

/** A frame's swatches made ready for comparison: weights instead of counts, a coarse copy, and a density for each place of another frame. */
export interface Palette {
  readonly marks: Marks;
  /** The same colours merged into few, for finding about where to look. */
  readonly coarse: Marks;
  /** What a colour from that place of another frame may be matched with here; `null` where there is nothing. */
  fieldFor(place: SwatchPlace): Field | null;
}

interface PlacedMark {
  readonly place: SwatchPlace;
  readonly at: Vector;
  readonly weight: number;
}

/** Colours, each with its place and its weight, in columns: looked at thousands of times a pair of frames. */
export interface Marks {
  readonly places: readonly SwatchPlace[];
  readonly reds: Float64Array;
  readonly blues: Float64Array;
  readonly greens: Float64Array;
  readonly weights: Float64Array;
}

const inColumns = (marks: readonly PlacedMark[]): Marks => ({
  places: marks.map(({ place }) => place),
  reds: Float64Array.from(marks.map(({ at }) => at[0])),
  blues: Float64Array.from(marks.map(({ at }) => at[1])),
  greens: Float64Array.from(marks.map(({ at }) => at[2])),
  weights: Float64Array.from(marks.map(({ weight }) => weight)),
});

/** Skin tells the light as well as cloth does, but its blush, make-up and shine differ more from frame to frame; chosen on street photographs (even numbers). */
const skinWeight = 0.5;
/** Merging steps of the coarse copy, and how many colours it keeps. */
const coarseStep = [0.06, 0.06, 0.5] as const;
const mostCoarse = 48;

/** How readily a colour of one place is matched with a colour of another: body points err, and a place may not be known. */
const samePlace = 1;
const unknownPlace = 0.5;
const otherPlace = 0.05;

const isSkin = (place: SwatchPlace): boolean => place.endsWith('skin');
const isUnknown = (place: SwatchPlace): boolean => place === 'cloth' || place === 'skin';

function affinity(a: SwatchPlace, b: SwatchPlace): number {
  if (a === b) return samePlace;
  if (isSkin(a) !== isSkin(b)) return 0;
  return isUnknown(a) || isUnknown(b) ? unknownPlace : otherPlace;
}

const ofEachPlace = <T>(make: (place: SwatchPlace) => T): Record<SwatchPlace, T> =>
  Object.fromEntries(swatchPlaces.map((place) => [place, make(place)])) as Record<SwatchPlace, T>;

/** By the two places. Looked up thousands of times a pair of frames. */
export const affinities = ofEachPlace((a) => ofEachPlace((b) => affinity(a, b)));

/** `null` where the frame has no swatches. */
export function paletteOf(swatches: readonly PlaceSwatches[]): Palette | null {
  const marks = [false, true].flatMap((skin) => {
    const groups = swatches.filter(({ place }) => isSkin(place) === skin);
    const total = groups.reduce(
      (sum, group) => sum + group.swatches.reduce((areas, [, , , n]) => areas + n, 0),
      0,
    );
    const unit = (skin ? skinWeight : 1) / total;
    return groups.flatMap(({ place, swatches: here }) =>
      here.map(([r, b, g, areas]): PlacedMark => ({ place, at: [r, b, g], weight: areas * unit })),
    );
  });
  if (marks.length === 0) return null;
  const fields = fieldsOf(marks);
  return { marks: inColumns(marks), coarse: inColumns(merged(marks)), fieldFor: (place) => fields[place]() };
}

/** By the place of another frame that asks; each made at the first question. */
function fieldsOf(marks: readonly PlacedMark[]): Record<SwatchPlace, () => Field | null> {
  const cloth = onGrid(marks.filter(({ place }) => !isSkin(place)));
  const skin = onGrid(marks.filter(({ place }) => isSkin(place)));
  return ofEachPlace((asking) =>
    once(() => {
      const { own, grid } = isSkin(asking) ? skin : cloth;
      if (own.length === 0) return null;
      return fieldOf(
        grid(),
        Float64Array.from(own.map(({ place, weight }) => weight * affinities[asking][place])),
      );
    }),
  );
}

const onGrid = (own: readonly PlacedMark[]) => ({ own, grid: once(() => gridOf(own.map(({ at }) => at))) });

function merged(marks: readonly PlacedMark[]): PlacedMark[] {
  const sums = new Map<string, { place: SwatchPlace; sum: [number, number, number]; weight: number }>();
  for (const { place, at, weight } of marks) {
    const [red, blue, green] = coarseStep;
    const key = `${place},${Math.floor(at[0] / red)},${Math.floor(at[1] / blue)},${Math.floor(at[2] / green)}`;
    const kind = sums.get(key) ?? { place, sum: [0, 0, 0], weight: 0 };
    kind.sum[0] += at[0] * weight;
    kind.sum[1] += at[1] * weight;
    kind.sum[2] += at[2] * weight;
    kind.weight += weight;
    sums.set(key, kind);
  }
  return [...sums.values()]
    .sort((a, b) => b.weight - a.weight)
    .slice(0, mostCoarse)
    .map(({ place, sum, weight }) => ({
      place,
      at: [sum[0] / weight, sum[1] / weight, sum[2] / weight],
      weight,
    }));
}
