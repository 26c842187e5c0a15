/** The subject's face and eyes at native resolution: detector, mesh and iris, one after the other. */
import type { Box, Point } from '../../contracts/box.ts';
import type { FrameImage, Rgb8 } from '../../contracts/frame-image.ts';
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
  /** Points of the face mesh, shares of the frame. */
  readonly mesh: readonly Point[];
}

/** Lower than the published 0.6: the mesh network then has the last word. */
const minDetectorScore = 0.4;
/** Published default of the mesh's face flag. */
const minPresence = 0.5;
/** Published: square around the detected face, its longer side times this. */
const meshPerFace = 1.5;
/** Published: square around an eye, its width times this. */
const irisPerEye = 2.3;
/** Sides in px of the reduced picture that still give the networks (192 px) about all they can use; below, the native one is read. */
const leastMeshSquare = 110;
const leastHeadSquare = 192;
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

/** @param points mesh, px of `image` */
async function measureEye(
  image: Rgb8,
  points: readonly (readonly [number, number])[],
  side: 'left' | 'right',
): Promise<EyeRegion> {
  const landmarks = eyeLandmarks[side];
  const outer = points[landmarks.outerCorner]!;
  const inner = points[landmarks.innerCorner]!;
  const width = Math.hypot(outer[0] - inner[0], outer[1] - inner[1]);
  const [from, to] = side === 'right' ? [outer, inner] : [inner, outer];
  const { iris } = await findIris(
    image,
    {
      centreX: (outer[0] + inner[0]) / 2,
      centreY: (outer[1] + inner[1]) / 2,
      side: irisPerEye * width,
      angle: Math.atan2(to[1] - from[1], to[0] - from[0]),
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
  ].map((index) => points[index]!);
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

/**
 * The reduced picture where the face is large enough on it (reading a native face of 1000 px to shrink it to 192 costs more than
 * the network), the native one else.
 */
function pictureFor(face: DetectedFace, image: FrameImage): Rgb8 {
  return meshSquare(face, image.analysis).side >= leastMeshSquare ? image.analysis : image.srgb;
}

async function describeFace(frame: FrameImage, face: DetectedFace): Promise<FoundFace | null> {
  const image = pictureFor(face, frame);
  const square = meshSquare(face, image);
  const mesh: FaceMesh = await meshFace(image, square);
  if (mesh.presence < minPresence) return null;
  const yawDeg = yawOf(mesh.points);
  const verdict = judgeEyes(image, square, mesh.points, yawDeg);
  const eyes: EyeRegion[] = [];
  const toNative = frame.srgb.width / image.width;
  const native: (readonly [number, number])[] = [];
  const shares: Point[] = [];
  for (const { x, y } of mesh.points) {
    native.push([x * toNative, y * toNative]);
    shares.push([x / image.width, y / image.height]);
  }
  for (const side of verdict.sides) eyes.push(await measureEye(frame.srgb, native, side));
  const oval = faceOval.map((index): readonly [number, number] => [
    mesh.points[index]!.x,
    mesh.points[index]!.y,
  ]);
  return {
    mesh: shares,
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
export async function findFace(image: FrameImage, subject: Subject): Promise<FoundFace | null> {
  const { analysis } = image;
  for (const square of headSquares(subject, analysis.width, analysis.height)) {
    const picture = square.width >= leastHeadSquare ? analysis : image.srgb;
    const scale = picture.width / analysis.width;
    const searched = {
      x: square.x * scale,
      y: square.y * scale,
      width: square.width * scale,
      height: square.height * scale,
    };
    for (const face of await detectFaces(picture, searched, minDetectorScore)) {
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
