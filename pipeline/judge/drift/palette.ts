import type { PlaceSwatches, SwatchPlace } from '../../contracts/measurement/swatches.ts';
import { type Field, fieldOf, type Mark } from './field.ts';

/** A frame's swatches made ready for comparison: weights instead of counts, a coarse copy, and a density for each place of another frame. */
export interface Palette {
  readonly marks: readonly PlacedMark[];
  /** The same colours merged into few, for finding about where to look. */
  readonly coarse: readonly PlacedMark[];
  /** What a colour from that place of another frame may be matched with here; `null` where there is nothing. */
  fieldFor(place: SwatchPlace): Field | null;
}

export interface PlacedMark extends Mark {
  readonly place: SwatchPlace;
}

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

export function affinity(a: SwatchPlace, b: SwatchPlace): number {
  if (a === b) return samePlace;
  if (isSkin(a) !== isSkin(b)) return 0;
  return isUnknown(a) || isUnknown(b) ? unknownPlace : otherPlace;
}

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
  const fields = new Map<SwatchPlace, Field | null>();
  return {
    marks,
    coarse: merged(marks),
    fieldFor(place) {
      const known = fields.get(place);
      const field = known === undefined ? fieldAt(place, marks) : known;
      fields.set(place, field);
      return field;
    },
  };
}

function fieldAt(place: SwatchPlace, marks: readonly PlacedMark[]): Field | null {
  const matching = marks
    .map((mark) => ({ at: mark.at, weight: mark.weight * affinity(place, mark.place) }))
    .filter(({ weight }) => weight > 0);
  return matching.length > 0 ? fieldOf(matching) : null;
}

function merged(marks: readonly PlacedMark[]): PlacedMark[] {
  const sums = new Map<string, { place: SwatchPlace; sum: [number, number, number]; weight: number }>();
  for (const { place, at, weight } of marks) {
    const key = [place, ...at.map((value, axis) => Math.floor(value / coarseStep[axis]!))].join();
    const kind = sums.get(key) ?? { place, sum: [0, 0, 0], weight: 0 };
    at.forEach((value, axis) => {
      kind.sum[axis]! += value * weight;
    });
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
