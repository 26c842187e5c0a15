/** Photographs blurred by a known kernel: the variance of the blur must rise by the kernel's. */
import { readFile } from 'node:fs/promises';
import sharp from 'sharp';
import type { Mask } from '../../pipeline/contracts/frame-image.ts';
import { estimateBlur } from '../../pipeline/measure/sharpness.ts';
import { median } from '../../pipeline/numeric/statistics.ts';
import { discBlurred } from '../helpers/disc-blur.ts';
import { gaussianBlurred } from '../helpers/gaussian-blur.ts';
import { halves, type LabelledPhotograph, labelledPhotographs, seenIn } from './labelled-photographs.ts';
import type { SweepPlan, SweepPoint } from './sweep.ts';

/** A region softer than the narrowest kernel says little about the kernel. */
const softest = 1.5;
const limit = 0.15;
const photographsOfHalf = 20;

interface Kernel {
  readonly name: string;
  /** Of the kernel along any direction, px^2. */
  readonly variance: number;
  readonly blur: (luma: Uint8Array, width: number, height: number) => Uint8Array;
}

/** Second moment of a disc along a diameter: r^2 / 4. */
const kernels: readonly Kernel[] = [
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

const parts = ['photograph', 'garment'] as const;

/** Variances that each kernel adds to the readings of a photograph and of its garment, px^2. */
type Added = Record<(typeof parts)[number], number[][]>;

/** None where the blurred region gives no reading, which is a miss; nothing where the region is soft or shaken as it is. */
async function addTo(added: Added, photograph: LabelledPhotograph): Promise<void> {
  const { data, info } = await sharp(await readFile(photograph.path))
    .toColourspace('b-w')
    .extractChannel(0)
    .raw()
    .toBuffer({ resolveWithObject: true });
  const { width, height } = info;
  const { garment } = (await seenIn(photograph)).regions;
  const regions: [(typeof parts)[number], { readonly mask?: Mask }][] = [['photograph', {}]];
  if (garment !== null) regions.push(['garment', { mask: garment }]);
  const sharpOnes = regions.flatMap(([part, region]) => {
    const blur = estimateBlur(data, width, height, region);
    const usable = !('reason' in blur) && blur.kind !== 'motion' && blur.blurSigmaPx < softest;
    return usable ? [{ part, region, variance: blur.blurSigmaPx ** 2 }] : [];
  });
  for (const [k, kernel] of kernels.entries()) {
    const luma = kernel.blur(data, width, height);
    for (const { part, region, variance } of sharpOnes) {
      const blur = estimateBlur(luma, width, height, region);
      added[part][k]!.push('reason' in blur ? 0 : blur.blurSigmaPx ** 2 - variance);
    }
  }
}

export function knownKernelsOnPhotographs(folder: string, labels: string): SweepPlan {
  return {
    id: 'known-kernel',
    quantity: 'variance added by a known kernel',
    unit: 'px^2',
    range: `Gaussians of 1.5 to 3 px, discs of radius 3 to 6 px; ${photographsOfHalf} whole photographs and their garments, even and odd numbers apart`,
    source: 'variance of the kernel',
    limitText: '15 %, median; how many hold it each is told',
    measure: async () => {
      const photographs = await labelledPhotographs(folder, labels);
      const points: SweepPoint[] = [];
      for (const half of halves) {
        const added: Added = { photograph: kernels.map(() => []), garment: kernels.map(() => []) };
        const own = photographs.filter((one) => one.half === half).slice(0, photographsOfHalf);
        for (const photograph of own) await addTo(added, photograph);
        for (const part of parts) {
          for (const [k, { name, variance }] of kernels.entries()) {
            const values = added[part][k]!;
            if (values.length === 0) continue;
            const [low, high] = [(1 - limit) * variance, (1 + limit) * variance];
            const within = values.filter((value) => value >= low && value <= high).length;
            const condition = `${half} numbers, ${part}, ${name}: ${within} of ${values.length} within 15 %`;
            points.push({ truth: variance, measured: median(values), low, high, condition });
          }
        }
      }
      return points;
    },
  };
}
