/** Lids and iris of one eye by MediaPipe's iris network (Ablavatski et al., arXiv:2006.11341). */
import type { Rgb8 } from '../../contracts/frame-image.ts';
import { fromSquare, type RotatedSquare, sampleSquare } from '../../numeric/rotated-square.ts';
import { fillShares, type NetworkOutput, runNetwork } from './session.ts';

export interface EyePoints {
  /** Outline of the lids and points around it, px of the picture. */
  readonly outline: readonly (readonly [number, number])[];
  /** Centre, then four points on the rim of the iris, px of the picture. */
  readonly iris: readonly (readonly [number, number])[];
}

const inputSide = 64;
const outlineCount = 71;
const pointCount = 76;

/** The network knows the eye whose outer corner is on the left; the other one is shown to it mirrored. */
function mirror(rgb: Float32Array): Float32Array {
  const mirrored = new Float32Array(rgb.length);
  for (let y = 0; y < inputSide; y++) {
    for (let x = 0; x < inputSide; x++) {
      const from = 3 * (y * inputSide + inputSide - 1 - x);
      mirrored.set(rgb.subarray(from, from + 3), 3 * (y * inputSide + x));
    }
  }
  return mirrored;
}

/**
 * @param image 8-bit sRGB
 * @param square around the eye, about 2.3 times its width, turned so that its corners lie level
 * @param side as named from the person's own side
 */
export async function findIris(
  image: Rgb8,
  square: RotatedSquare,
  side: 'left' | 'right',
): Promise<EyePoints> {
  const sampled = sampleSquare(image, square, inputSide);
  const input = side === 'left' ? mirror(sampled) : sampled;
  const data = await runNetwork(
    'iris',
    (values) => fillShares(values, input),
    ({ Identity: found }) => (found as NetworkOutput).data.slice(),
  );
  const points = Array.from({ length: pointCount }, (_, index) => {
    const x = data[3 * index]! / inputSide;
    return fromSquare(square, side === 'left' ? 1 - x : x, data[3 * index + 1]! / inputSide);
  });
  return { outline: points.slice(0, outlineCount), iris: points.slice(outlineCount) };
}
