/** Change of illuminant by gains on three receptor-like channels (von Kries 1902). */
import { apply, diagonal, invert, type Matrix3, multiply, type Triple } from './matrix3.ts';

/** Linear Bradford sharpened cone responses (Lam 1985; used by ICC.1 annex E). XYZ to responses. */
export const bradford: Matrix3 = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
];

/**
 * Matrix on XYZ that carries the white `from` to the white `to` and every other colour with it.
 * @param cone XYZ to the channels on which the gains act.
 */
export function adaptationMatrix(from: Triple, to: Triple, cone: Matrix3 = bradford): Matrix3 {
  const before = apply(cone, from);
  const after = apply(cone, to);
  const gains: Triple = [after[0] / before[0], after[1] / before[1], after[2] / before[2]];
  return multiply(invert(cone), multiply(diagonal(gains), cone));
}
