import type { Colour, ColourEvidence } from '../../contracts/measurement/colour.ts';
import { castOfWhiteness, type LogRatios } from '../../numeric/colour/cast.ts';
import { once } from '../../numeric/once.ts';
import { type PairShift, shiftBetween } from './pair.ts';
import { type Palette, paletteOf } from './palette.ts';
import type { Comparison } from './settle.ts';

export interface Comparable {
  readonly colour: Colour;
  /** Made when it is first asked for. */
  palette(): Palette | null;
  /** The light by a neutral card in the frame, in log ratios. */
  readonly own: LogRatios | null;
}

export const comparable = (colour: Colour): Comparable => ({
  colour,
  palette: once(() => paletteOf(colour.swatches)),
  own: castOf(colour),
});

export interface EvidencedComparison extends Comparison {
  readonly evidence: ColourEvidence;
}

/** Below this share of colours found in the other frame, the two show different surfaces. */
const leastCover = 0.35;
/** Standard uncertainty of a comparison in log ratio, where all colours are found and where none is: chosen on street photographs (even numbers). */
const sigmaCovered = 0.006;
const sigmaUncovered = 0.15;
/** Two readings of a card each add this much: lights and exposure fall differently on it; common practice. */
const sigmaCard = 0.006;

/**
 * The lights of two frames compared by the best evidence that both of them hold; `null` where there is none. What skin or scene tell of a
 * frame's light for themselves is too rough: a mere change of crop moved it by 70 mired (street photographs, odd numbers).
 */
export function compare(frames: readonly Comparable[], a: number, b: number): EvidencedComparison | null {
  const [one, other] = [frames[a]!, frames[b]!];
  if (one.colour.reference === 'neutral-card' && other.colour.reference === 'neutral-card') {
    return byCards(one, other, a, b);
  }
  return bySurfaces(one, other, a, b);
}

/**
 * Shifts found earlier, as long as both measurements are held: where a frame comes to a set that was judged before, only its own
 * pairs are searched anew. A shift follows from the two measurements alone.
 */
const foundEarlier = new WeakMap<Colour, WeakMap<Colour, PairShift | null>>();

function shiftOf(one: Comparable, other: Comparable): PairShift | null {
  const known = foundEarlier.get(one.colour) ?? new WeakMap<Colour, PairShift | null>();
  foundEarlier.set(one.colour, known);
  const earlier = known.get(other.colour);
  if (earlier !== undefined) return earlier;
  const [a, b] = [one.palette(), other.palette()];
  const found = a && b && shiftBetween(a, b);
  known.set(other.colour, found);
  return found;
}

function bySurfaces(one: Comparable, other: Comparable, a: number, b: number): EvidencedComparison | null {
  const found = shiftOf(one, other);
  if (!found || found.cover < leastCover) return null;
  const [redGreen, blueGreen] = found.shift;
  const sigma = sigmaCovered + (sigmaUncovered - sigmaCovered) * (1 - found.cover) ** 3;
  const cloth = [one, other].every(({ colour }) =>
    colour.swatches.some(({ place }) => place.endsWith('cloth')),
  );
  return { a, b, redGreen, blueGreen, sigma, evidence: cloth ? 'garment' : 'skin' };
}

/** By a neutral card in both. */
function byCards(
  { own: from }: Comparable,
  { own: to }: Comparable,
  a: number,
  b: number,
): EvidencedComparison | null {
  if (from === null || to === null) return null;
  return {
    a,
    b,
    redGreen: from.redGreen - to.redGreen,
    blueGreen: from.blueGreen - to.blueGreen,
    sigma: Math.SQRT2 * sigmaCard,
    evidence: 'neutral-card',
  };
}

function castOf({ cctK, duv, reference }: Colour): LogRatios | null {
  if (cctK === null || duv === null || reference !== 'neutral-card') return null;
  return castOfWhiteness(cctK, duv);
}
