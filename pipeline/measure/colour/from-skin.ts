import {
  type LogRatios,
  logRatiosOf,
  uncertaintyOfCast,
  whitenessOfCast,
} from '../../numeric/colour/cast.ts';
import { rgbOfLab } from '../../numeric/colour/lab.ts';
import type { Triple } from '../../numeric/colour/matrix3.ts';
import type { Estimate } from './estimate.ts';
import type { Tint } from './tint.ts';

/** Light and dark skin of the ColorChecker Classic (maker's data before 2014, CIELAB D50): the two ends that faces lie between. */
const lightSkin: Triple = [65.711, 18.13, 17.81];
const darkSkin: Triple = [37.986, 13.555, 14.059];

const [light, dark] = [lightSkin, darkSkin].map((lab) => logRatiosOf(rgbOfLab(lab))) as [
  LogRatios,
  LogRatios,
];
/** Tint of skin under the white of the encoding: halfway between the two patches. */
const usual: LogRatios = {
  redGreen: (light.redGreen + dark.redGreen) / 2,
  blueGreen: (light.blueGreen + dark.blueGreen) / 2,
};
/** Whose skin it is is not known: half the distance of the two patches. */
const doubt = (() => {
  const white = whitenessOfCast({ redGreen: 0, blueGreen: 0 })!;
  const half = whitenessOfCast({
    redGreen: (light.redGreen - dark.redGreen) / 2,
    blueGreen: (light.blueGreen - dark.blueGreen) / 2,
  })!;
  return { mired: Math.abs(half.mired - white.mired), duv: Math.abs(half.duv - white.duv) };
})();

/** The cast by which the skin departs from usual skin. */
export function fromSkin(skin: Tint | null): Estimate | null {
  if (skin === null) return null;
  // Standard error of a median of normal values: 1.2533 sigma / sqrt(n).
  const sampling = uncertaintyOfCast((1.2533 * skin.spread) / Math.sqrt(skin.areas));
  return {
    cast: { redGreen: skin.redGreen - usual.redGreen, blueGreen: skin.blueGreen - usual.blueGreen },
    sigmaMired: Math.hypot(sampling.sigmaMired, doubt.mired),
    sigmaDuv: Math.hypot(sampling.sigmaDuv, doubt.duv),
    reference: 'skin',
  };
}
