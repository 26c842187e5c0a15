/** Photographs blurred by a known kernel: the variance of the blur must rise by the kernel's. */
import { readFile } from 'node:fs/promises';
import sharp from 'sharp';
import { estimateBlur } from '../../pipeline/measure/sharpness.ts';
import { median } from '../../pipeline/numeric/statistics.ts';
import { gaussianBlurred } from '../helpers/gaussian-blur.ts';
import { halves, labelledPhotographs } from './labelled-photographs.ts';
import type { SweepPlan, SweepPoint } from './sweep.ts';

const sigmas = [1.5, 2, 3];
/** Side of a window, px: small enough to be mostly at one distance. */
const side = 400;
/** A window softer than the narrowest kernel says little about the kernel. */
const softest = 1.5;
const limit = 0.15;
const photographsOfHalf = 20;

interface Window {
  readonly luma: Uint8Array;
  readonly sigmaPx: number;
  readonly edges: number;
}

/** Of the windows side by side, the one with most edges in the photograph as it is; `null` where all are soft or shaken. */
async function bestWindow(path: string): Promise<Window | null> {
  const grey = sharp(await readFile(path))
    .toColourspace('b-w')
    .extractChannel(0);
  const { data, info } = await grey.raw().toBuffer({ resolveWithObject: true });
  let best: Window | null = null;
  for (let top = 0; top + side <= info.height; top += side) {
    for (let left = 0; left + side <= info.width; left += side) {
      const luma = new Uint8Array(side * side);
      for (let y = 0; y < side; y++) {
        const from = (top + y) * info.width + left;
        luma.set(data.subarray(from, from + side), y * side);
      }
      const blur = estimateBlur(luma, side, side);
      if ('reason' in blur || blur.kind === 'motion' || blur.blurSigmaPx >= softest) continue;
      if (best === null || blur.edges > best.edges) {
        best = { luma, sigmaPx: blur.blurSigmaPx, edges: blur.edges };
      }
    }
  }
  return best;
}

/** Variance that a kernel adds to the reading, px^2; none where the blurred window gives no reading, which is a miss. */
function varianceAdded({ luma, sigmaPx }: Window, kernelPx: number): number {
  const blur = estimateBlur(gaussianBlurred(luma, side, side, kernelPx), side, side);
  return 'reason' in blur ? 0 : blur.blurSigmaPx ** 2 - sigmaPx ** 2;
}

export function knownKernelsOnPhotographs(folder: string, labels: string): SweepPlan {
  return {
    id: 'known-kernel',
    quantity: 'variance added by a known Gaussian',
    unit: 'px^2',
    range: `sigma 1.5, 2 and 3 px; the window of ${side} px with most edges of ${photographsOfHalf} photographs, even and odd numbers apart`,
    source: 'variance of the kernel',
    limitText: '15 %, median of the windows; how many windows hold it each is told',
    measure: async () => {
      const photographs = await labelledPhotographs(folder, labels);
      const points: SweepPoint[] = [];
      for (const half of halves) {
        const windows: Window[] = [];
        for (const { path } of photographs.filter((one) => one.half === half).slice(0, photographsOfHalf)) {
          const window = await bestWindow(path);
          if (window !== null) windows.push(window);
        }
        if (windows.length === 0) continue;
        for (const sigma of sigmas) {
          const truth = sigma ** 2;
          const [low, high] = [(1 - limit) * truth, (1 + limit) * truth];
          const added = windows.map((window) => varianceAdded(window, sigma));
          const within = added.filter((value) => value >= low && value <= high).length;
          const condition = `${half} numbers, sigma ${sigma} px: ${within} of ${added.length} windows within 15 %`;
          points.push({ truth, measured: median(added), low, high, condition });
        }
      }
      return points;
    },
  };
}
