/** 468 points of one face by MediaPipe's face mesh (Kartynnik et al., arXiv:1907.06724). */
import type { Rgb8 } from '../../contracts/frame-image.ts';
import { fromSquare, type RotatedSquare, sampleSquare } from '../../numeric/rotated-square.ts';
import { fillShares, type NetworkOutput, type NetworkOutputs, runNetwork } from './session.ts';

export interface MeshPoint {
  /** px of the picture. */
  readonly x: number;
  readonly y: number;
  /** Depth in px of the picture, smaller nearer the camera, 0 about the middle of the head. */
  readonly z: number;
  /** Shares (0..1) of the square that was looked at. */
  readonly u: number;
  readonly v: number;
}

export interface FaceMesh {
  /** Probability 0..1 that the square shows a face. */
  readonly presence: number;
  readonly points: readonly MeshPoint[];
}

const inputSide = 192;
const pointCount = 468;

function readMesh(outputs: NetworkOutputs, square: RotatedSquare): FaceMesh {
  const { data } = outputs.output_mesh as NetworkOutput;
  const points: MeshPoint[] = [];
  for (let at = 0; at < 3 * pointCount; at += 3) {
    const [u, v] = [data[at]! / inputSide, data[at + 1]! / inputSide];
    const [x, y] = fromSquare(square, u, v);
    points.push({ x, y, z: (data[at + 2]! / inputSide) * square.side, u, v });
  }
  return { presence: (outputs.output_faceflag as NetworkOutput).data[0]!, points };
}

/**
 * @param image 8-bit sRGB
 * @param square around the face, about 1.5 times as large, turned so that the eyes lie level
 */
export async function meshFace(image: Rgb8, square: RotatedSquare): Promise<FaceMesh> {
  return runNetwork(
    'facemesh',
    (input) => fillShares(input, sampleSquare(image, square, inputSide)),
    (outputs) => readMesh(outputs, square),
  );
}
