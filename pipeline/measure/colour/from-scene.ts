import type { LogRatios } from '../../numeric/colour/cast.ts';
import type { Triple } from '../../numeric/colour/matrix3.ts';
import { bootstrapped, type Estimate } from './estimate.ts';
import { fewestAreas } from './tint.ts';

/** A scene whose surfaces are not grey on average: 3 degrees of angular error (Shades of Grey on outdoor sets) are about 0.15 in log ratio, or 20 mired; from memory. */
const sceneDoubt = 0.15;
/** Order of the Minkowski mean of Shades of Grey (Finlayson and Trezzi, Color Imaging Conference 2004). */
const minkowskiOrder = 6;
/** At most this many areas take part, evenly picked: more change nothing in the spread of a bootstrap that matters. */
const mostAreas = 2000;

/** Illuminant by Shades of Grey: the Minkowski mean of each channel over the scene. */
function shadesOfGrey(colours: readonly Triple[], drawn: ArrayLike<number>): LogRatios {
  const sums: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < drawn.length; i += 1) {
    const colour = colours[drawn[i]!]!;
    for (let channel = 0; channel < 3; channel += 1) sums[channel]! += colour[channel]! ** minkowskiOrder;
  }
  const [red, green, blue] = sums.map((sum) => Math.log(sum) / minkowskiOrder) as [number, number, number];
  return { redGreen: red - green, blueGreen: blue - green };
}

/** The cast if the scene's brightest surfaces are grey together: the last resort. */
export function fromScene(colours: readonly Triple[]): Estimate | null {
  const step = Math.max(1, Math.floor(colours.length / mostAreas));
  const some = colours.filter((_, index) => index % step === 0);
  if (some.length < fewestAreas) return null;
  return bootstrapped(some.length, (drawn) => shadesOfGrey(some, drawn), sceneDoubt, 'scene');
}
