import type { PlaceSwatches } from '../../contracts/measurement/swatches.ts';
import type { LogRatios } from '../../numeric/colour/cast.ts';
import { ciede2000 } from '../../numeric/colour/ciede2000.ts';
import { labOfRgb } from '../../numeric/colour/lab.ts';
import type { Triple } from '../../numeric/colour/matrix3.ts';
import { luminanceWeights } from '../../numeric/colour/srgb.ts';
import { weightedMedian } from '../../numeric/statistics.ts';

const luminance = ([red, green, blue]: Triple): number =>
  luminanceWeights[0] * red + luminanceWeights[1] * green + luminanceWeights[2] * blue;

/**
 * CIEDE2000 between the cloth as the frame shows it and the same cloth under the set's light at the same luminance: the median
 * over its colours. It compares each colour with itself, so neither crop nor exposure counts. `null` without cloth.
 */
export function clothDifference(
  swatches: readonly PlaceSwatches[],
  { redGreen, blueGreen }: LogRatios,
): number | null {
  const cloth = swatches.filter(({ place }) => place.endsWith('cloth')).flatMap(({ swatches: here }) => here);
  if (cloth.length === 0) return null;
  const differences = cloth.map(([red, blue, green]) => {
    const shown: Triple = [Math.exp(green + red), Math.exp(green), Math.exp(green + blue)];
    const unlit: Triple = [
      Math.exp(green + red - redGreen),
      Math.exp(green),
      Math.exp(green + blue - blueGreen),
    ];
    const scale = luminance(shown) / luminance(unlit);
    return ciede2000(labOfRgb(shown), labOfRgb([unlit[0] * scale, unlit[1] * scale, unlit[2] * scale]));
  });
  return weightedMedian(
    differences,
    cloth.map(([, , , areas]) => areas),
  );
}
