import type { Colour, ColourEvidence } from '../../contracts/measurement/colour.ts';
import { castOfWhiteness, type LogRatios, uncertaintyOfCast } from '../../numeric/colour/cast.ts';
import { shiftBetween } from './pair.ts';
import { type Palette, paletteOf } from './palette.ts';
import type { Comparison } from './settle.ts';

export interface Comparable {
  readonly colour: Colour;
  readonly palette: Palette | null;
  /** The light that the frame tells for itself, in log ratios. */
  readonly own: (LogRatios & { readonly sigma: number }) | null;
}

export const comparable = (colour: Colour): Comparable => ({
  colour,
  palette: paletteOf(colour.swatches),
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

/** One mired and one log ratio of a cast near D65. */
const miredPerSigma = uncertaintyOfCast(1).sigmaMired;

/** The lights of two frames compared by the best evidence that both of them hold; `null` where there is none. */
export function compare(frames: readonly Comparable[], a: number, b: number): EvidencedComparison | null {
  const [one, other] = [frames[a]!, frames[b]!];
  if (one.colour.reference === 'neutral-card' && other.colour.reference === 'neutral-card') {
    return byOwnLight(one, other, a, b, 'neutral-card');
  }
  return bySurfaces(one, other, a, b) ?? byOwnLight(one, other, a, b, 'scene');
}

function bySurfaces(one: Comparable, other: Comparable, a: number, b: number): EvidencedComparison | null {
  const found = one.palette && other.palette && shiftBetween(one.palette, other.palette);
  if (!found || found.cover < leastCover) return null;
  const [redGreen, blueGreen] = found.shift;
  const sigma = sigmaCovered + (sigmaUncovered - sigmaCovered) * (1 - found.cover) ** 3;
  const cloth = [one, other].every(({ colour }) =>
    colour.swatches.some(({ place }) => place.endsWith('cloth')),
  );
  return { a, b, redGreen, blueGreen, sigma, evidence: cloth ? 'garment' : 'skin' };
}

function byOwnLight(
  { own: from }: Comparable,
  { own: to }: Comparable,
  a: number,
  b: number,
  evidence: ColourEvidence,
): EvidencedComparison | null {
  if (from === null || to === null) return null;
  const sigma = evidence === 'neutral-card' ? Math.SQRT2 * sigmaCard : Math.hypot(from.sigma, to.sigma);
  return {
    a,
    b,
    redGreen: from.redGreen - to.redGreen,
    blueGreen: from.blueGreen - to.blueGreen,
    sigma,
    evidence,
  };
}

function castOf({ cctK, duv, sigmaMired }: Colour): Comparable['own'] {
  if (cctK === null || duv === null || sigmaMired === null) return null;
  return { ...castOfWhiteness(cctK, duv), sigma: sigmaMired / miredPerSigma };
}
