/** Body points of one person by MoveNet Thunder (Votel and Li, TensorFlow blog, 2021). */
import type { Box } from '../../contracts/box.ts';
import type { Rgb8 } from '../../contracts/frame-image.ts';
import type { BodyPoint } from '../../contracts/measurement/people.ts';
import { resampleForNow } from '../../numeric/resample.ts';
import { fillWholeLevels, readBodyPoints } from './movenet.ts';
import { type NetworkOutput, runNetwork } from './session.ts';

const inputSide = 256;
/** Side of the square crop in longer sides of the person's box: the network's published tracker widens the body by this. */
const cropPerBox = 1.25;

/**
 * @param image 8-bit sRGB
 * @param box the person, shares of the picture
 * @returns 17 points as shares of the picture, each with a score 0..1; a point that is hidden or outside has a low one
 */
export async function estimatePose(image: Rgb8, box: Box): Promise<readonly BodyPoint[]> {
  const { width, height } = image;
  const side = cropPerBox * Math.max(box[2] * width, box[3] * height);
  const region = {
    x: (box[0] + box[2] / 2) * width - side / 2,
    y: (box[1] + box[3] / 2) * height - side / 2,
    width: side,
    height: side,
  };
  return runNetwork(
    'movenet-thunder',
    (input) => fillWholeLevels(input, resampleForNow(image, region, inputSide, inputSide)),
    ({ Identity: found }) => readBodyPoints((found as NetworkOutput).data, 0, region, width, height),
  );
}
