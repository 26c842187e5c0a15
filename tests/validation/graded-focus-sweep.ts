/** A lapse of focus in the eyes alone, step by step: the eyes must read softer with every step, the garment must not. */
import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import sharp from 'sharp';
import type { FrameImage } from '../../pipeline/contracts/frame-image.ts';
import type { EyeRegion } from '../../pipeline/contracts/regions.ts';
import { decodeFrame } from '../../pipeline/decode/decode-frame.ts';
import { measureSharpness } from '../../pipeline/measure/sharpness.ts';
import { type Area, defocused } from '../helpers/disc-blur.ts';
import { labelledPhotographs } from './labelled-photographs.ts';
import { onceEach } from './once-each.ts';
import { look } from './scene.ts';
import type { SweepPlan, SweepPoint } from './sweep.ts';

/** Radii of the defocus discs, px. */
const radii = [1, 2, 3, 4];
/** A disc of radius 4 adds a standard deviation of 2 px: no step may come near to this. */
const largestStep = 2;

/** Both eyes with half an eye's width of skin round them. */
function roundEyes(eyes: readonly EyeRegion[], { width, height }: FrameImage['srgb']): Area {
  const spare = 0.5 * Math.max(...eyes.map(({ box }) => box[2] * width));
  return {
    left: Math.floor(Math.min(...eyes.map(({ box }) => box[0] * width)) - spare),
    top: Math.floor(Math.min(...eyes.map(({ box }) => box[1] * height)) - spare),
    right: Math.ceil(Math.max(...eyes.map(({ box }) => (box[0] + box[2]) * width)) + spare),
    bottom: Math.ceil(Math.max(...eyes.map(({ box }) => (box[1] + box[3]) * height)) + spare),
  };
}

async function withSoftEyes(image: FrameImage, area: Area, radiusPx: number): Promise<FrameImage> {
  const { data, width, height } = defocused(image.srgb, area, radiusPx);
  const raw = { width, height, channels: 3 as const };
  return (await decodeFrame(await sharp(data, { raw }).png({ compressionLevel: 1 }).toBuffer())).image;
}

/** Eyes against the step before, garment against the sharp frame. */
export interface GradedFocus {
  readonly eyes: readonly SweepPoint[];
  readonly garment: readonly SweepPoint[];
}

/** @returns `null` where the frame shows no eyes to measure. */
export async function gradedFocus(path: string): Promise<GradedFocus | null> {
  const { image, regions } = await look(await readFile(path));
  const eyes = regions.faces[0]?.eyes ?? [];
  const sharpOne = measureSharpness(image, regions);
  if (eyes.length === 0 || sharpOne.eyes === null) return null;
  const area = roundEyes(eyes, image.srgb);
  const steps: { readonly eyes: SweepPoint[]; readonly garment: SweepPoint[] } = { eyes: [], garment: [] };
  let before = sharpOne.eyes.blurSigmaPx;
  const cloth = sharpOne.garment?.blurSigmaPx;
  for (const radius of radii) {
    const soft = measureSharpness(await withSoftEyes(image, area, radius), regions);
    const condition = `${basename(path)}, eyes behind a disc of radius ${radius} px`;
    const measured = soft.eyes?.blurSigmaPx ?? null;
    // Any rise will do, however small: a thousandth of a px is far below what can be seen.
    steps.eyes.push({ truth: before, measured, low: before + 1e-3, high: before + largestStep, condition });
    before = measured ?? before;
    if (cloth === undefined) continue;
    const garment = soft.garment?.blurSigmaPx ?? null;
    steps.garment.push({ truth: cloth, measured: garment, low: 0.95 * cloth, high: 1.05 * cloth, condition });
  }
  return steps;
}

/** Photographs with visible eyes that the test is made on. */
const photographsWanted = 24;

/** The first photographs with visible eyes; both sweeps look at the same. */
const gradedPhotographs = onceEach(
  async (folder: string, labels: string): Promise<readonly GradedFocus[]> => {
    const found: GradedFocus[] = [];
    for (const { eyes, path } of await labelledPhotographs(folder, labels)) {
      if (found.length >= photographsWanted) break;
      const one = eyes === 'visible' ? await gradedFocus(path) : null;
      if (one !== null) found.push(one);
    }
    return found;
  },
);

const shared = {
  unit: 'px',
  range: `${photographsWanted} photographs with visible eyes; disc of radius 1, 2, 3 and 4 px round the eyes`,
};

export function softEyesOnPhotographs(folder: string, labels: string): SweepPlan {
  return {
    ...shared,
    id: 'graded-focus-eyes',
    quantity: 'blur in the eyes, step by step',
    source: 'order: each step against the one before',
    limitText: 'rises in every step',
    measure: async () => (await gradedPhotographs(folder, labels)).flatMap(({ eyes }) => eyes),
  };
}

export function stillGarmentOnPhotographs(folder: string, labels: string): SweepPlan {
  return {
    ...shared,
    id: 'graded-focus-garment',
    quantity: 'blur of the garment meanwhile',
    source: 'the same photograph, untouched',
    limitText: '5 %',
    measure: async () => (await gradedPhotographs(folder, labels)).flatMap(({ garment }) => garment),
  };
}
