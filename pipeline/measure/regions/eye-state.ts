/**
 * Whether an eye can be measured: covered by dark glasses or deep shade, shut, or on the far side of a turned head.
 */
import type { Rgb8 } from '../../contracts/frame-image.ts';
import { linearOfByte, luminanceWeights } from '../../numeric/colour/srgb.ts';
import { type RotatedSquare, sampleSquare } from '../../numeric/rotated-square.ts';
import { median } from '../../numeric/statistics.ts';
import type { MeshPoint } from '../networks/face-mesh.ts';
import { cheekLandmarks, type EyeLandmarks, eyeLandmarks, noseLandmarks } from './face-landmarks.ts';

/** Side of the sampled face, px: as large as the faces the limits below were found on. */
const sampleSide = 96;
/**
 * Sum of two natural logarithms of luminance ratios (skin under the eye against nose, upper cheek against lower cheek) below
 * which the eyes are taken for covered. Chosen on the labelled street photographs with even numbers.
 */
const coveredBelow = -2.2;
/** Keeps the logarithm finite on black: about one 8-bit level in linear light near black. */
const darkFloor = 0.004;
/**
 * Opening of the lids as a share of the eye's width. Soukupova and Cech (CVWW 2016) take 0.2 for a blink; half-shut laughing
 * eyes of the labelled photographs, sharp enough to measure, go down to 0.17.
 */
const shutBelow = 0.15;
/** Turn of the head from which the far eye lies behind the nose's side: from the labelled photographs, see its faces at 33 to 39. */
const farEyeHiddenDeg = 35;

const distance = (a: MeshPoint, b: MeshPoint): number => Math.hypot(a.x - b.x, a.y - b.y);

const onSample = (place: number): number => Math.min(sampleSide - 1, Math.max(0, place));

/** Linear luminance 0..1 around mesh points, read from the face turned upright and brought to one size. */
function luminanceReader(image: Rgb8, square: RotatedSquare): (point: MeshPoint) => number {
  const rgb = sampleSquare(image, square, sampleSide);
  const luminance = new Float32Array(sampleSide * sampleSide);
  for (let index = 0; index < luminance.length; index++) {
    let sum = 0;
    for (let channel = 0; channel < 3; channel++) {
      const byte = Math.min(255, Math.max(0, Math.round(rgb[3 * index + channel]!)));
      sum += luminanceWeights[channel]! * linearOfByte[byte]!;
    }
    luminance[index] = sum;
  }
  return ({ u, v }) => {
    let sum = 0;
    for (let dy = -1; dy <= 1; dy++) {
      for (let dx = -1; dx <= 1; dx++) {
        sum +=
          luminance[
            onSample(Math.floor(v * sampleSide) + dy) * sampleSide + onSample(Math.floor(u * sampleSide) + dx)
          ]!;
      }
    }
    return sum / 9;
  };
}

const logRatio = (a: number, b: number): number => Math.log((a + darkFloor) / (b + darkFloor));

/**
 * How dark the skin around both eyes is against the rest of the face: 0 where it is the same, -3 under black glasses.
 * The nearer eye counts more, in proportion to its width.
 */
function coverOfEyes(image: Rgb8, square: RotatedSquare, points: readonly MeshPoint[]): number {
  const luminanceAt = luminanceReader(image, square);
  const typical = (indices: readonly number[]): number =>
    median(indices.map((index) => luminanceAt(points[index]!)));
  const nose = typical(noseLandmarks);
  const cheek = typical(cheekLandmarks);
  let weighted = 0;
  let weights = 0;
  for (const eye of [eyeLandmarks.right, eyeLandmarks.left]) {
    const width = distance(points[eye.outerCorner]!, points[eye.innerCorner]!);
    weighted += width * (logRatio(typical(eye.below), nose) + logRatio(typical(eye.upperCheek), cheek));
    weights += width;
  }
  return weights > 0 ? weighted / weights : 0;
}

/** Mean height of the lids' opening as a share of the eye's width. */
function openness(eye: EyeLandmarks, points: readonly MeshPoint[]): number {
  const middle = [2, 3, 4].map((index) =>
    distance(points[eye.upperLid[index]!]!, points[eye.lowerLid[index]!]!),
  );
  const width = distance(points[eye.outerCorner]!, points[eye.innerCorner]!);
  return width > 0 ? middle.reduce((sum, height) => sum + height, 0) / middle.length / width : 0;
}

export interface EyesVerdict {
  /** The eyes that can be measured. */
  readonly sides: readonly ('right' | 'left')[];
  /** Why there is none; `null` where there is one. */
  readonly reason: string | null;
}

/** @param yawDeg turn of the head, positive to the frame's right */
export function judgeEyes(
  image: Rgb8,
  square: RotatedSquare,
  points: readonly MeshPoint[],
  yawDeg: number,
): EyesVerdict {
  if (coverOfEyes(image, square, points) < coveredBelow) {
    return { sides: [], reason: 'The eyes are covered by dark glasses or lie in deep shade.' };
  }
  // The person's right side is on the left of the frame; a head turned to the frame's right hides its left eye.
  const near = (['right', 'left'] as const).filter(
    (side) => Math.abs(yawDeg) < farEyeHiddenDeg || (yawDeg > 0 ? side === 'right' : side === 'left'),
  );
  const open = near.filter((side) => openness(eyeLandmarks[side], points) >= shutBelow);
  return { sides: open, reason: open.length > 0 ? null : 'The eyes are shut.' };
}
