/** Body points of up to six people in one look by MoveNet MultiPose (Votel and Li, TensorFlow blog, 2021). */
import type { Box } from '../../contracts/box.ts';
import type { Rgb8 } from '../../contracts/frame-image.ts';
import type { BodyPoint } from '../../contracts/measurement/people.ts';
import { clipBox } from '../../numeric/boxes.ts';
import { type PxRectangle, resampleForNow } from '../../numeric/resample.ts';
import { fillWholeLevels, readBodyPoints } from './movenet.ts';
import { type NetworkOutput, runNetwork } from './session.ts';

export interface PosedPerson {
  /** Shares of the whole picture, cut at its edges. */
  readonly box: Box;
  readonly score: number;
  readonly points: readonly BodyPoint[];
}

/** Published input: the longer side this many px, both sides multiples of 32. */
const longerSidePx = 256;
const multiple = 32;
/** Numbers a person: 17 points of three, then the box and its score. */
const stride = 56;
const people = 6;
const boxStart = 51;

function readPeople(data: Float32Array, region: PxRectangle, image: Rgb8, minScore: number): PosedPerson[] {
  const found: PosedPerson[] = [];
  for (let person = 0; person < people; person++) {
    const start = person * stride;
    const [top, left, bottom, right, score] = data.subarray(start + boxStart, start + stride);
    if (score! < minScore) continue;
    const [x, y, width, height] = clipBox(
      [
        region.x + left! * region.width,
        region.y + top! * region.height,
        (right! - left!) * region.width,
        (bottom! - top!) * region.height,
      ],
      image.width,
      image.height,
    );
    found.push({
      box: [x / image.width, y / image.height, width / image.width, height / image.height],
      score: score!,
      points: readBodyPoints(data, start, region, image.width, image.height),
    });
  }
  return found;
}

/**
 * @param image 8-bit sRGB
 * @param minScore people below are dropped
 * @param searched part of the picture to look at, in px; the whole picture where absent
 * @returns strongest first
 */
export async function estimatePoses(
  image: Rgb8,
  minScore: number,
  searched: PxRectangle = { x: 0, y: 0, width: image.width, height: image.height },
): Promise<readonly PosedPerson[]> {
  const scale = longerSidePx / Math.max(searched.width, searched.height);
  const inputSize = (size: number): number =>
    Math.max(multiple, Math.ceil((size * scale) / multiple) * multiple);
  const columns = inputSize(searched.width);
  const rows = inputSize(searched.height);
  // Black is added on the right and at the bottom, so one scale holds for both sides.
  const region = { ...searched, width: columns / scale, height: rows / scale };
  const found = await runNetwork(
    'movenet-multipose',
    (input) => fillWholeLevels(input, resampleForNow(image, region, columns, rows)),
    (outputs) => readPeople((outputs.output_0 as NetworkOutput).data, region, image, minScore),
    [1, rows, columns, 3],
  );
  return found.sort((a, b) => b.score - a.score);
}
