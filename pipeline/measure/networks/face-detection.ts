/** Faces by MediaPipe's full-range face detector (BlazeFace: Bazarevsky et al., arXiv:1907.05047). */
import type { Box, Point } from '../../contracts/box.ts';
import type { Rgb8 } from '../../contracts/frame-image.ts';
import { type PxRectangle, resampleForNow } from '../../numeric/resample.ts';
import { sigmoid } from '../../numeric/sigmoid.ts';
import { suppress } from '../../numeric/suppression.ts';
import { type NetworkInput, type NetworkOutput, runNetwork } from './session.ts';

export interface DetectedFace {
  /** Shares of the whole picture, not cut at its edges. */
  readonly box: Box;
  readonly score: number;
  /** Shares of the whole picture; right and left as named from the person's own side. */
  readonly points: {
    readonly rightEye: Point;
    readonly leftEye: Point;
    readonly nose: Point;
    readonly mouth: Point;
    readonly rightEar: Point;
    readonly leftEar: Point;
  };
}

const inputSide = 192;
/** One anchor a cell, its middle, of fixed size (the published anchor options: stride 4, offset 0.5, fixed_anchor_size). */
const stride = 4;
/** Numbers a cell: score logit, box, six points. */
const perCell = 17;
/** `min_suppression_threshold` of the published graph. */
const maxOverlap = 0.3;

/** Levels 0..255 as the -1..1 that the network takes. */
function fillSigned(input: NetworkInput, levels: Float32Array): void {
  for (let index = 0; index < levels.length; index++) input[index] = levels[index]! / 127.5 - 1;
}

function readFaces(
  data: Float32Array,
  searched: PxRectangle,
  image: Rgb8,
  minScore: number,
): readonly DetectedFace[] {
  const columns = inputSide / stride;
  const found: DetectedFace[] = [];
  for (let cell = 0; cell < columns * columns; cell++) {
    const start = cell * perCell;
    const score = sigmoid(data[start]!);
    if (score < minScore) continue;
    const middleX = ((cell % columns) + 0.5) * stride;
    const middleY = (Math.floor(cell / columns) + 0.5) * stride;
    const place = (index: number): Point => [
      (searched.x + ((middleX + data[start + index]!) / inputSide) * searched.width) / image.width,
      (searched.y + ((middleY + data[start + index + 1]!) / inputSide) * searched.height) / image.height,
    ];
    const centre = place(1);
    const width = ((data[start + 3]! / inputSide) * searched.width) / image.width;
    const height = ((data[start + 4]! / inputSide) * searched.height) / image.height;
    found.push({
      box: [centre[0] - width / 2, centre[1] - height / 2, width, height],
      score,
      points: {
        rightEye: place(5),
        leftEye: place(7),
        nose: place(9),
        mouth: place(11),
        rightEar: place(13),
        leftEar: place(15),
      },
    });
  }
  return found;
}

/**
 * @param image 8-bit sRGB
 * @param searched square of the picture in px; a face should fill about a tenth to a half of it
 * @param minScore faces below are dropped (the published graph: 0.6)
 * @returns strongest first
 */
export async function detectFaces(
  image: Rgb8,
  searched: PxRectangle,
  minScore: number,
): Promise<readonly DetectedFace[]> {
  const found = await runNetwork(
    'facemesh-detection-full',
    (input) => fillSigned(input, resampleForNow(image, searched, inputSide, inputSide)),
    ({ Identity: cells }) => readFaces((cells as NetworkOutput).data, searched, image, minScore),
  );
  return suppress(found, maxOverlap);
}
