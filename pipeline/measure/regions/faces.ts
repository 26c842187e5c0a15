/** The subject's face and eyes at native resolution: detector, mesh and iris, one after the other. */
import type { Box } from '../../contracts/box.ts';
import type { Rgb8 } from '../../contracts/frame-image.ts';
import type { Subject } from '../../contracts/measurement/people.ts';
import type { EyeRegion, FaceRegion } from '../../contracts/regions.ts';
import { intersectionOverUnion, shareInside } from '../../numeric/boxes.ts';
import type { RotatedSquare } from '../../numeric/rotated-square.ts';
import { type DetectedFace, detectFaces } from '../networks/face-detection.ts';
import { type FaceMesh, type MeshPoint, meshFace } from '../networks/face-mesh.ts';
import { findIris } from '../networks/iris.ts';
import { judgeEyes } from './eye-state.ts';
import { eyeLandmarks, faceOval, sideLandmarks } from './face-landmarks.ts';
import { headSquares } from './head-search.ts';

export interface FoundFace {
  readonly region: FaceRegion;
  /** px of the frame. */
  readonly mesh: readonly MeshPoint[];
}

/** Lower than the published 0.6: the mesh network then has the last word. */
const minDetectorScore = 0.4;
/** Published default of the mesh's face flag. */
const minPresence = 0.5;
/** Published: square around the detected face, its longer side times this. */
const meshPerFace = 1.5;
/** Published: square around an eye, its width times this. */
const irisPerEye = 2.3;
/** A subject's face lies in the subject's box; half of it allows for a box that is cut at the chin or the hair. */
const minInsideSubject = 0.5;

function boundingBox(points: readonly (readonly [number, number])[], image: Rgb8): Box {
  const xs = points.map((point) => point[0]);
  const ys = points.map((point) => point[1]);
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return [
    left / image.width,
    top / image.height,
    (Math.max(...xs) - left) / image.width,
    (Math.max(...ys) - top) / image.height,
  ];
}

function meshSquare(face: DetectedFace, image: Rgb8): RotatedSquare {
  const [left, top, width, height] = face.box;
  const { rightEye, leftEye } = face.points;
  return {
    centreX: (left + width / 2) * image.width,
    centreY: (top + height / 2) * image.height,
    side: meshPerFace * Math.max(width * image.width, height * image.height),
    angle: Math.atan2((leftEye[1] - rightEye[1]) * image.height, (leftEye[0] - rightEye[0]) * image.width),
  };
}

/** Turn of the head, degrees, positive to the frame's right: the side turned away lies deeper. */
function yawOf(points: readonly MeshPoint[]): number {
  const right = points[sideLandmarks.right]!;
  const left = points[sideLandmarks.left]!;
  return (Math.atan2(left.z - right.z, Math.hypot(left.x - right.x, left.y - right.y)) * 180) / Math.PI;
}

async function measureEye(
  image: Rgb8,
  points: readonly MeshPoint[],
  side: 'left' | 'right',
): Promise<EyeRegion> {
  const landmarks = eyeLandmarks[side];
  const outer = points[landmarks.outerCorner]!;
  const inner = points[landmarks.innerCorner]!;
  const width = Math.hypot(outer.x - inner.x, outer.y - inner.y);
  const [from, to] = side === 'right' ? [outer, inner] : [inner, outer];
  const { iris } = await findIris(
    image,
    {
      centreX: (outer.x + inner.x) / 2,
      centreY: (outer.y + inner.y) / 2,
      side: irisPerEye * width,
      angle: Math.atan2(to.y - from.y, to.x - from.x),
    },
    side,
  );
  const [centre, ...rim] = iris as readonly [readonly [number, number], ...(readonly [number, number])[]];
  const radius =
    rim.reduce((sum, point) => sum + Math.hypot(point[0] - centre[0], point[1] - centre[1]), 0) / rim.length;
  const lids = [
    landmarks.outerCorner,
    landmarks.innerCorner,
    ...landmarks.upperLid,
    ...landmarks.lowerLid,
  ].map((index): readonly [number, number] => [points[index]!.x, points[index]!.y]);
  const [left, top, boxWidth, boxHeight] = boundingBox(
    [...lids, [centre[0], centre[1] - radius], [centre[0], centre[1] + radius]],
    image,
  );
  // Room for the lashes: an eighth of the eye's width on every side.
  const [spareX, spareY] = [width / 8 / image.width, width / 8 / image.height];
  return {
    side,
    box: [left - spareX, top - spareY, boxWidth + 2 * spareX, boxHeight + 2 * spareY],
    irisCentre: [centre[0] / image.width, centre[1] / image.height],
    irisRadius: radius / image.width,
  };
}

async function describeFace(image: Rgb8, face: DetectedFace): Promise<FoundFace | null> {
  const square = meshSquare(face, image);
  const mesh: FaceMesh = await meshFace(image, square);
  if (mesh.presence < minPresence) return null;
  const yawDeg = yawOf(mesh.points);
  const verdict = judgeEyes(image, square, mesh.points, yawDeg);
  const eyes: EyeRegion[] = [];
  for (const side of verdict.sides) eyes.push(await measureEye(image, mesh.points, side));
  const oval = faceOval.map((index): readonly [number, number] => [
    mesh.points[index]!.x,
    mesh.points[index]!.y,
  ]);
  return {
    mesh: mesh.points,
    region: {
      box: boundingBox(oval, image),
      score: face.score * mesh.presence,
      eyes,
      eyesReason: verdict.reason,
      yawDeg,
    },
  };
}

/** The subject's face, or `null` where none is seen (back view, face outside the frame or hidden). */
export async function findFace(image: Rgb8, subject: Subject): Promise<FoundFace | null> {
  for (const square of headSquares(subject, image.width, image.height)) {
    for (const face of await detectFaces(image, square, minDetectorScore)) {
      if (shareInside(face.box, subject.box) < minInsideSubject) continue;
      const found = await describeFace(image, face);
      if (found !== null) return found;
    }
  }
  return null;
}

/** Two subjects must not share one face: the better-scored one keeps it. */
export function distinctFaces(faces: readonly FoundFace[]): readonly FoundFace[] {
  const kept: FoundFace[] = [];
  for (const face of [...faces].sort((a, b) => b.region.score - a.region.score)) {
    // Two faces in one picture never cover each other by more than this.
    if (kept.every((other) => intersectionOverUnion(other.region.box, face.region.box) < 0.3))
      kept.push(face);
  }
  return kept;
}
