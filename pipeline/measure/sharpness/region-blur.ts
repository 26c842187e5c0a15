import type { RegionSharpness } from '../../contracts/measurement/sharpness.ts';
import { mtf50 } from '../../numeric/spread-shape.ts';
import { climb, fewestEdges, poolEdges, withoutHandfuls } from './edge-pool.ts';
import { blurDirection } from './motion.ts';
import type { Picture } from './picture.ts';
import type { PxRegion } from './px-region.ts';
import { regionPlanes, type Thoroughness, thorough } from './region-planes.ts';

export type RegionBlur = RegionSharpness | { readonly reason: string };

/** Smallest side of a region with room for an edge profile, px. */
const smallestSide = 5;

/** Blur of the sharpest edges of a region; along the motion where there is one. */
export function regionBlur(picture: Picture, region: PxRegion, search: Thoroughness = thorough): RegionBlur {
  const { left, top, right, bottom } = region.rect;
  if (Math.min(right - left, bottom - top) < smallestSide) {
    return { reason: `The region is smaller than ${smallestSide} px.` };
  }
  const planes = regionPlanes(picture, region, search);
  const suited = climb(withoutHandfuls(planes), fewestEdges);
  if (suited === null) {
    return { reason: 'The region has too few clear edges to measure blur on.' };
  }
  const direction = blurDirection(planes);
  if (direction?.kind === 'motion') {
    const { deg, lengthPx, sigmaPx, shape, edges } = direction;
    return {
      blurSigmaPx: sigmaPx,
      mtf50CyPx: mtf50(sigmaPx, shape),
      edges,
      direction: { deg, lengthPx },
      kind: 'motion',
    };
  }
  const pooled = poolEdges(suited.edges);
  return {
    blurSigmaPx: pooled.sigmaPx,
    mtf50CyPx: mtf50(pooled.sigmaPx, pooled.shape),
    edges: pooled.edges.length,
    direction: null,
    kind: direction === null ? null : 'defocus',
  };
}
