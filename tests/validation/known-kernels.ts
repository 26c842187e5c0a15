/** Kernels of known variance, as photographs are blurred by them. */
import { median } from '../../pipeline/numeric/statistics.ts';
import { discBlurred } from '../helpers/disc-blur.ts';
import { gaussianBlurred } from '../helpers/gaussian-blur.ts';
import type { SweepPoint } from './sweep.ts';

interface Kernel {
  readonly name: string;
  /** Of the kernel along any direction, px^2. */
  readonly variance: number;
  readonly blur: (luma: Uint8Array, width: number, height: number) => Uint8Array;
}

/** Second moment of a disc along a diameter: r^2 / 4. */
export const kernels: readonly Kernel[] = [
  ...[1.5, 2, 3].map((sigma) => ({
    name: `Gaussian of ${sigma} px`,
    variance: sigma ** 2,
    blur: (luma: Uint8Array, width: number, height: number) => gaussianBlurred(luma, width, height, sigma),
  })),
  ...[3, 4, 6].map((radius) => ({
    name: `disc of radius ${radius} px`,
    variance: radius ** 2 / 4,
    blur: (luma: Uint8Array, width: number, height: number) => discBlurred(luma, width, height, radius),
  })),
];

const limit = 0.15;

/** The middle one of the variances that a kernel added; how many of them are within the limit is told. */
export function medianPoint(what: string, variance: number, added: readonly number[]): SweepPoint {
  const [low, high] = [(1 - limit) * variance, (1 + limit) * variance];
  const within = added.filter((value) => value >= low && value <= high).length;
  const condition = `${what}: ${within} of ${added.length} within 15 %`;
  return { truth: variance, measured: median(added), low, high, condition };
}
