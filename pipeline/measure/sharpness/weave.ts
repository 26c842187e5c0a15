import { mtf50 } from '../../numeric/spread-shape.ts';
import type { Picture } from './picture.ts';
import type { PxRect, PxRegion } from './px-region.ts';
import type { RegionBlur } from './region-blur.ts';
import { structureBlur } from './small-structure.ts';

/** Squares of cloth looked at, px wide: some threads each, and little of a fold. */
const side = 48;
const mostSquares = 40;

/**
 * Blur of cloth by its weave, for cloth without edges that stand out from it: threads are low in contrast and close together, so what can
 * be fitted are folds and shadows, which are soft however sharp the picture is. The geometric mean of two readings that err to different
 * sides: noise smeared by JPEG makes the finer one too small, folds make the coarser one too large. On the rendered detail in focus it
 * reads 0.8 px, blurred by 2 and 4 px 3.0 and 4.5 px, and with noise of 2 levels and JPEG 88 on top of the 4 px still 1.7 px.
 */
export function weaveBlur(picture: Picture, region: PxRegion): RegionBlur {
  const squares = squaresInside(region);
  if (squares.length === 0) return { reason: 'The cloth is too small to see its weave.' };
  const near = structureBlur(picture, squares, 1);
  const far = structureBlur(picture, squares, 2);
  if ('reason' in near) return near;
  if ('reason' in far) return far;
  const blurSigmaPx = Math.sqrt(near.blurSigmaPx * far.blurSigmaPx);
  return { ...near, blurSigmaPx, mtf50CyPx: mtf50(blurSigmaPx, 0) };
}

/** Squares whose corners and middle lie in the region, spread evenly over it. */
function squaresInside(region: PxRegion): readonly PxRect[] {
  const { left, top, right, bottom } = region.rect;
  const squares: PxRect[] = [];
  for (let y = top; y + side <= bottom; y += side) {
    for (let x = left; x + side <= right; x += side) {
      const places = [0.05, 0.5, 0.95].flatMap((v) =>
        [0.05, 0.5, 0.95].map((h) => [x + h * side, y + v * side] as const),
      );
      if (places.every(([px, py]) => region.holds(px, py))) {
        squares.push({ left: x, top: y, right: x + side, bottom: y + side });
      }
    }
  }
  const stride = Math.max(1, squares.length / mostSquares);
  return Array.from(
    { length: Math.min(mostSquares, squares.length) },
    (_, i) => squares[Math.floor(i * stride)]!,
  );
}
