import type { LogRatios } from '../../numeric/colour/cast.ts';
import type { Triple } from '../../numeric/colour/matrix3.ts';
import { madSigma, median } from '../../numeric/statistics.ts';

/** Colour of a surface with brightness divided out. */
export interface Tint extends LogRatios {
  /** Spread of the surface's own colours about the median, from the median absolute deviation. */
  readonly spread: number;
  /** How many small areas it rests on. */
  readonly areas: number;
}

/** Fewer small areas than this say little about a surface; 24 are about 200 px. Chosen, not published. */
export const fewestAreas = 24;

/** Median colour of a surface with brightness divided out; `null` where too few well exposed areas are left. */
export function tintOf(colours: readonly Triple[]): Tint | null {
  if (colours.length < fewestAreas) return null;
  const redGreen = colours.map(([red, green]) => Math.log(red / green));
  const blueGreen = colours.map(([, green, blue]) => Math.log(blue / green));
  return {
    redGreen: median(redGreen),
    blueGreen: median(blueGreen),
    spread: Math.hypot(madSigma(redGreen), madSigma(blueGreen)),
    areas: colours.length,
  };
}
