/**
 * People and other objects by NanoDet (RangiLyu, 2020; generalised focal loss: Li et al., arXiv:2006.04388): 80 COCO classes.
 * The side distances come as a distribution over 11 bins; their mean, times the stride, is the distance in px.
 */
import type { Box } from '../../contracts/box.ts';
import type { Rgb8 } from '../../contracts/frame-image.ts';
import { clipBox } from '../../numeric/boxes.ts';
import { type PxRectangle, resampleForNow } from '../../numeric/resample.ts';
import { suppress } from '../../numeric/suppression.ts';
import { type NetworkInput, type NetworkOutput, type NetworkOutputs, runNetwork } from './session.ts';

export interface Detection {
  /** Index in the 80 classes of COCO; 0 is a person. */
  readonly classId: number;
  /** The network's own confidence, 0..1. */
  readonly score: number;
  /** Shares (0..1) of the whole picture given, also where only a region of it was searched. */
  readonly box: Box;
}

export interface DetectionOptions {
  /** Detections below are dropped. */
  readonly minScore: number;
  /** Part of the picture to search, in px; the whole picture where absent. */
  readonly region?: PxRectangle;
  /** Whether the network sees it with left and right changed. */
  readonly mirrored?: boolean;
  /** Classes wanted; people only where absent. */
  readonly classIds?: readonly number[];
  /** Overlap (intersection over union) from which the weaker of two boxes of a class is dropped; `null` keeps all. */
  readonly maxOverlap?: number | null;
}

const personClassId = 0;

/** Side of the network's square input, px. */
const inputSide = 416;
/** Outputs by stride: (scores, distances), names as in the manifest. */
const levels = [
  { stride: 8, scores: 'Identity', distances: 'Identity_3' },
  { stride: 16, scores: 'Identity_1', distances: 'Identity_4' },
  { stride: 32, scores: 'Identity_2', distances: 'Identity_5' },
] as const;
const classCount = 80;
/** `reg_max` 10 of the published configuration: bins 0..10. */
const bins = 11;
/** B, G, R of the published configuration. */
const mean = [103.53, 116.28, 123.675] as const;
const deviation = [57.375, 57.12, 58.395] as const;
/** `iou_threshold` of the published configuration's suppression. */
const publishedMaxOverlap = 0.6;

/** Mean of a softmax over one side's bins. */
function meanDistance(values: Float32Array, start: number): number {
  let top = Number.NEGATIVE_INFINITY;
  for (let bin = 0; bin < bins; bin++) top = Math.max(top, values[start + bin]!);
  let sum = 0;
  let weighted = 0;
  for (let bin = 0; bin < bins; bin++) {
    const weight = Math.exp(values[start + bin]! - top);
    sum += weight;
    weighted += weight * bin;
  }
  return weighted / sum;
}

interface Square extends PxRectangle {
  /** From px of the network's input to px of the picture. */
  readonly scale: number;
}

/** The region scaled to fit the network's square, centred, with black around it; px of the picture. */
function squareAround(region: PxRectangle): Square {
  const scale = Math.max(region.width, region.height) / inputSide;
  const side = scale * inputSide;
  return {
    x: region.x - (side - region.width) / 2,
    y: region.y - (side - region.height) / 2,
    width: side,
    height: side,
    scale,
  };
}

/** Planes B, G, R in the units of the published configuration, where asked with left and right changed. */
function fillPlanes(input: NetworkInput, rgb: Float32Array, mirrored: boolean): void {
  const step = mirrored ? -3 : 3;
  for (let channel = 0, at = 0; channel < 3; channel++) {
    const [offset, unit] = [mean[channel]!, deviation[channel]!];
    for (let row = 0; row < inputSide; row++) {
      let from = 3 * inputSide * row + (mirrored ? 3 * (inputSide - 1) : 0) + 2 - channel;
      for (const end = at + inputSide; at < end; at++, from += step) input[at] = (rgb[from]! - offset) / unit;
    }
  }
}

/** All boxes that are sure enough, in the order of the cells, cut at the picture's edges. */
function readDetections(
  outputs: NetworkOutputs,
  { x: offsetX, y: offsetY, scale }: Square,
  image: Rgb8,
  { minScore, classIds = [personClassId], mirrored = false }: DetectionOptions,
): readonly Detection[] {
  const found: Detection[] = [];
  for (const level of levels) {
    const scores = outputs[level.scores] as NetworkOutput;
    const distances = outputs[level.distances] as NetworkOutput;
    const columns = inputSide / level.stride;
    for (let cell = 0; cell < columns * columns; cell++) {
      for (const classId of classIds) {
        const score = scores.data[cell * classCount + classId]!;
        if (score < minScore) continue;
        const side = [0, 1, 2, 3].map(
          (index) => meanDistance(distances.data, (cell * 4 + index) * bins) * level.stride,
        ) as [number, number, number, number];
        const centreX = ((cell % columns) + 0.5) * level.stride;
        const centreY = (Math.floor(cell / columns) + 0.5) * level.stride;
        const start = mirrored ? inputSide - centreX - side[2] : centreX - side[0];
        const size = [(side[0] + side[2]) * scale, (side[1] + side[3]) * scale] as const;
        const [x, y, width, height] = clipBox(
          [offsetX + start * scale, offsetY + (centreY - side[1]) * scale, ...size],
          image.width,
          image.height,
        );
        if (width === 0 || height === 0) continue;
        const box: Box = [x / image.width, y / image.height, width / image.width, height / image.height];
        found.push({ classId, score, box });
      }
    }
  }
  return found;
}

const ofOneClass = (a: Detection, b: Detection): boolean => a.classId === b.classId;

/**
 * @param image 8-bit sRGB; reduced internally, so a picture of about 400 to 1300 px is enough
 * @returns detections, strongest first, boxes cut at the picture's edges; they lie on the picture as it is, mirrored or not
 */
export async function detectObjects(image: Rgb8, options: DetectionOptions): Promise<readonly Detection[]> {
  const square = squareAround(options.region ?? { x: 0, y: 0, width: image.width, height: image.height });
  const found = await runNetwork(
    'nanodet',
    (input) =>
      fillPlanes(input, resampleForNow(image, square, inputSide, inputSide), options.mirrored ?? false),
    (outputs) => readDetections(outputs, square, image, options),
  );
  const { maxOverlap = publishedMaxOverlap } = options;
  return suppress(found, maxOverlap ?? Number.POSITIVE_INFINITY, ofOneClass);
}
