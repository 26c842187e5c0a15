import type { LogRatios } from '../../numeric/colour/cast.ts';
import { madSigma, median } from '../../numeric/statistics.ts';
import type { Areas } from './areas.ts';

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
export function tintOf({ count, rgb }: Areas): Tint | null {
  if (count < fewestAreas) return null;
  const redGreen = new Float64Array(count);
  const blueGreen = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const green = rgb[3 * i + 1]!;
    redGreen[i] = Math.log(rgb[3 * i]! / green);
    blueGreen[i] = Math.log(rgb[3 * i + 2]! / green);
  }
  return {
    redGreen: median(redGreen),
    blueGreen: median(blueGreen),
    spread: Math.hypot(madSigma(redGreen), madSigma(blueGreen)),
    areas: count,
  };
}
