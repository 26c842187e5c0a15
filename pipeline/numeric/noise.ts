import type { LumaPlane } from './luma.ts';

/** Side of the blocks, samples: the smallest whose own estimate is good to about 10 %. */
const blockSide = 12;
/** Blocks looked at along each side, at most: the quartile of some tens is good to a few per cent. */
const blocksAlong = 6;

const ascending = (a: number, b: number): number => a - b;

/**
 * Standard deviation of the white noise in a plane, in its own units.
 * Source: Immerkaer, "Fast noise variance estimation", Computer Vision and Image Understanding 64 (1996): mean of |I * mask|,
 * mask [1 -2 1; -2 4 -2; 1 -2 1], whose gain on white noise is 6. Taken block by block, and of the blocks the lower quartile:
 * a block full of texture answers more than its noise, and a region of cloth or skin has blocks of both kinds.
 * 0 where the plane is smaller than one block.
 */
export function noiseSigma(plane: LumaPlane): number {
  const { width, height, data } = plane;
  const means: number[] = [];
  const strideX = blockSide * Math.ceil(width / (blockSide * blocksAlong));
  const strideY = blockSide * Math.ceil(height / (blockSide * blocksAlong));
  for (let top = 1; top + blockSide < height; top += strideY) {
    for (let left = 1; left + blockSide < width; left += strideX) {
      let sum = 0;
      for (let y = top; y < top + blockSide; y++) {
        const row = y * width;
        for (let i = row + left; i < row + left + blockSide; i++) {
          const up = i - width;
          const down = i + width;
          const v =
            data[up - 1]! +
            data[up + 1]! +
            data[down - 1]! +
            data[down + 1]! -
            2 * (data[up]! + data[down]! + data[i - 1]! + data[i + 1]!) +
            4 * data[i]!;
          sum += v < 0 ? -v : v;
        }
      }
      means.push(sum / (blockSide * blockSide));
    }
  }
  if (means.length === 0) return 0;
  means.sort(ascending);
  return (Math.sqrt(Math.PI / 2) / 6) * means[Math.floor((means.length - 1) / 4)]!;
}
