import type { Window } from './gradient.ts';
import type { LumaPlane } from './luma.ts';

/** Kernels reach this many standard deviations: what lies beyond weighs less than 0.01 %. */
const kernelSigmas = 4;

/** Samples round a rectangle that the slopes inside it depend on. */
export function slopeMargin(sigma: number): number {
  return Math.ceil(kernelSigmas * sigma);
}

function kernels(sigma: number): { readonly smooth: Float64Array; readonly slope: Float64Array } {
  const reach = slopeMargin(sigma);
  const smooth = Float64Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-0.5 * ((i - reach) / sigma) ** 2),
  );
  const total = smooth.reduce((a, b) => a + b, 0);
  const slope = smooth.map((value, i) => ((i - reach) / sigma ** 2) * (value / total));
  return { smooth: smooth.map((value) => value / total), slope };
}

/** Variance of the slope of white noise of standard deviation 1 behind a Gaussian of `sigma` samples: both directions together. */
export function slopeOfNoise(sigma: number): number {
  const { smooth, slope } = kernels(sigma);
  const squares = (kernel: Float64Array): number => kernel.reduce((sum, value) => sum + value * value, 0);
  return 2 * squares(smooth) * squares(slope);
}

/**
 * Variance of the slope inside a rectangle of the plane after a Gaussian of `sigma` samples, both directions together, levels^2 per
 * sample^2: shading that runs evenly through the rectangle counts nothing. Beyond the plane's border its outermost samples go on.
 */
export function slopeVariance(plane: LumaPlane, rect: Window, sigma: number): number {
  const { smooth, slope } = kernels(sigma);
  const reach = slopeMargin(sigma);
  const { width, height, data } = plane;
  const columns = rect.right - rect.left;
  let sum = 0;
  let sumAcross = 0;
  let sumDown = 0;
  const smoothRow = new Float64Array(width);
  const slopeRow = new Float64Array(width);
  for (let y = rect.top; y < rect.bottom; y++) {
    smoothRow.fill(0);
    slopeRow.fill(0);
    for (let k = -reach; k <= reach; k++) {
      const row = Math.min(height - 1, Math.max(0, y + k)) * width;
      for (let x = 0; x < width; x++) {
        smoothRow[x]! += smooth[k + reach]! * data[row + x]!;
        slopeRow[x]! += slope[k + reach]! * data[row + x]!;
      }
    }
    for (let x = rect.left; x < rect.right; x++) {
      let across = 0;
      let down = 0;
      for (let k = -reach; k <= reach; k++) {
        const at = Math.min(width - 1, Math.max(0, x + k));
        across += slope[k + reach]! * smoothRow[at]!;
        down += smooth[k + reach]! * slopeRow[at]!;
      }
      sum += across * across + down * down;
      sumAcross += across;
      sumDown += down;
    }
  }
  const count = columns * (rect.bottom - rect.top);
  return (sum - (sumAcross * sumAcross + sumDown * sumDown) / count) / count;
}
