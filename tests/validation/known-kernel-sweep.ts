/** Photographs blurred by a known kernel: the variance of the blur must rise by the kernel's. */
import { readFile } from 'node:fs/promises';
import sharp from 'sharp';
import type { Mask } from '../../pipeline/contracts/frame-image.ts';
import { estimateBlur } from '../../pipeline/measure/sharpness.ts';
import { kernels, medianPoint } from './known-kernels.ts';
import { halves, type LabelledPhotograph, labelledPhotographs, seenIn } from './labelled-photographs.ts';
import type { SweepPlan, SweepPoint } from './sweep.ts';

/** A region softer than the narrowest kernel says little about the kernel. */
const softest = 1.5;
const photographsOfHalf = 20;

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
            points.push(medianPoint(`${half} numbers, ${part}, ${name}`, variance, values));
          }
        }
      }
      return points;
    },
  };
}
