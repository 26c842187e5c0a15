/** What both MoveNet networks share: points as (y, x, score) in shares of a square or rectangular input, 0..255 RGB. */
import { type BodyPoint, bodyPointNames } from '../../contracts/measurement/people.ts';
import type { PxRectangle } from '../../numeric/resample.ts';
import type { NetworkInput } from './session.ts';

/** Values 0..255 as the whole numbers that the networks take. */
export function fillWholeLevels(input: NetworkInput, values: Float32Array): void {
  for (let index = 0; index < values.length; index++) input[index] = Math.round(values[index]!);
}

/**
 * @param values network output
 * @param start where the 17 triples begin
 * @param region px rectangle of the picture that was the network's input
 * @returns the points as shares of a picture of `width` x `height` px; they may lie outside it
 */
export function readBodyPoints(
  values: Float32Array,
  start: number,
  region: PxRectangle,
  width: number,
  height: number,
): readonly BodyPoint[] {
  return bodyPointNames.map((name, index) => {
    const at = start + 3 * index;
    return {
      name,
      at: [
        (region.x + values[at + 1]! * region.width) / width,
        (region.y + values[at]! * region.height) / height,
      ] as const,
      score: values[at + 2]!,
    };
  });
}
