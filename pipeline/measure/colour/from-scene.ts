import type { LogRatios } from '../../numeric/colour/cast.ts';
import type { Areas } from './areas.ts';
import { bootstrapped, type Estimate } from './estimate.ts';
import { fewestAreas } from './tint.ts';

/** A scene whose surfaces are not grey on average: 3 degrees of angular error (Shades of Grey on outdoor sets) are about 0.15 in log ratio, or 20 mired; from memory. */
const sceneDoubt = 0.15;
/** Order of the Minkowski mean of Shades of Grey (Finlayson and Trezzi, Color Imaging Conference 2004). */
const minkowskiOrder = 6;
/** At most this many areas take part, evenly picked: more change nothing in the spread of a bootstrap that matters. */
const mostAreas = 2000;

/**
 * Illuminant by Shades of Grey: the Minkowski mean of each channel over the scene.
 * @param powers of the colours, three numbers each.
 */
function shadesOfGrey(powers: Float64Array, drawn: ArrayLike<number>): LogRatios {
  const sums: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < drawn.length; i += 1) {
    for (let channel = 0; channel < 3; channel += 1) sums[channel]! += powers[3 * drawn[i]! + channel]!;
  }
  const [red, green, blue] = sums.map((sum) => Math.log(sum) / minkowskiOrder) as [number, number, number];
  return { redGreen: red - green, blueGreen: blue - green };
}

/** The cast if the scene's brightest surfaces are grey together: the last resort. */
export function fromScene({ count, rgb }: Areas): Estimate | null {
  const step = Math.max(1, Math.floor(count / mostAreas));
  const taken = Math.ceil(count / step);
  if (taken < fewestAreas) return null;
  const powers = new Float64Array(3 * taken);
  for (let i = 0; i < powers.length; i++) {
    const area = step * Math.floor(i / 3);
    powers[i] = rgb[3 * area + (i % 3)]! ** minkowskiOrder;
  }
  return bootstrapped(taken, (drawn) => shadesOfGrey(powers, drawn), sceneDoubt, 'scene');
}
