/** Rendered frames blurred by a known kernel: the variance of the blur must rise by the kernel's. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import { estimateBlur } from '../../pipeline/measure/sharpness.ts';
import { deliveryFolder, garmentOf, type TrueFrame, trueFrames } from '../helpers/demo-truth.ts';
import { kernels, medianPoint } from './known-kernels.ts';
import type { SweepPlan } from './sweep.ts';

/**
 * Of prints and stripes the edges that stay isolated behind a kernel are not those that were the sharpest without it: they read up to 40 %
 * too wide, and are not promised.
 */
const plain = ['camel-coat', 'linen-shift', 'red-maxi', 'white-blouse'];
const isPlain = (frame: TrueFrame): boolean => frame.crop === 'knee' && plain.includes(garmentOf(frame));

/** The middle of the frame, share of its sides: the model with some of the place round her. */
const share = 0.5;

async function middleLuma(frame: string, [width, height]: TrueFrame['size']) {
  const area = { width: Math.round(share * width), height: Math.round(share * height) };
  const { data, info } = await sharp(await readFile(join(deliveryFolder, frame)))
    .extract({ left: (width - area.width) >> 1, top: (height - area.height) >> 1, ...area })
    .toColourspace('b-w')
    .extractChannel(0)
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { luma: new Uint8Array(data), width: info.width, height: info.height };
}

/** 0 where there is no reading, which is a miss. */
function readingPx(luma: Uint8Array, width: number, height: number): number {
  const blur = estimateBlur(luma, width, height);
  return 'reason' in blur ? 0 : blur.blurSigmaPx;
}

export const demoKernels: SweepPlan = {
  id: 'demo-kernel',
  quantity: 'variance added by a known kernel to rendered frames',
  unit: 'px^2',
  range: 'Gaussians of 1.5 to 3 px, discs of radius 3 to 6 px; knee crops of plain cloth',
  source: 'variance of the kernel',
  limitText: '15 %, median; how many hold it each is told',
  measure: async () => {
    const added = kernels.map((): number[] => []);
    for (const { frame, size } of trueFrames().filter(isPlain)) {
      const { luma, width, height } = await middleLuma(frame, size);
      const before = readingPx(luma, width, height);
      for (const [k, { blur }] of kernels.entries()) {
        added[k]!.push(readingPx(blur(luma, width, height), width, height) ** 2 - before ** 2);
      }
    }
    return kernels.map(({ name, variance }, k) => medianPoint(name, variance, added[k]!));
  },
};
