/** Where the parts of one subject's body lie on its patch, in cells, with the height of the face as the unit of length. */
import type { Subject } from '../../contracts/measurement/people.ts';
import type { PointTuple } from '../../numeric/polygon.ts';
import type { PersonMask } from '../networks/blazepose.ts';
import { chinLandmark, faceOval, foreheadLandmark } from './face-landmarks.ts';
import type { FoundFace } from './faces.ts';
import type { Patch } from './patch.ts';

export type Segment = readonly [PointTuple, PointTuple];

export interface BodyFrame {
  /** Forehead to chin, cells. */
  readonly faceHeight: number;
  readonly chin: PointTuple;
  /** Unit vector from chin to forehead. */
  readonly up: PointTuple;
  /** Outline of the face; `null` where no face is seen. */
  readonly faceOutline: readonly PointTuple[] | null;
  readonly torso: readonly PointTuple[];
  readonly upperArms: readonly Segment[];
  readonly forearms: readonly Segment[];
  readonly thighs: readonly Segment[];
  readonly shins: readonly Segment[];
  readonly hands: readonly PointTuple[];
  /** Ankle, heel and toe. */
  readonly feet: readonly (readonly [PointTuple, PointTuple, PointTuple])[];
}

/** A body point below this says nothing about the place of a limb (the network's publisher recommends 0.3). */
const minPointScore = 0.2;
/** A limb that the pose network calls hidden or outside the crop is left out. */
const minVisibility = 0.3;
/**
 * Forehead to chin in lengths of the torso (mid shoulder to mid hip) and in shoulder widths, for a face that is not seen:
 * medians over the labelled photographs with even numbers, rounded.
 */
const facePerTorso = 0.33;
const facePerShoulders = 0.54;

/** A face is never smaller than this part of a whole person (7 to 8 heads of 1.4 face heights each: common practice in figure drawing). */
const leastFacesPerPatch = 16;

/** Hands and feet in the order of the pose topology: wrist, little finger, index, thumb; ankle, heel, toe. */
const handPoints = { left: [15, 17, 19, 21], right: [16, 18, 20, 22] };
const footPoints = { left: [27, 29, 31], right: [28, 30, 32] };
const sides = ['left', 'right'] as const;

const middle = (a: PointTuple, b: PointTuple): PointTuple => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
const distance = (a: PointTuple, b: PointTuple): number => Math.hypot(a[0] - b[0], a[1] - b[1]);

type Head = Pick<BodyFrame, 'faceHeight' | 'chin' | 'up' | 'faceOutline'>;

function seenHead(face: FoundFace, fromShare: (point: PointTuple) => PointTuple): Head {
  const [chin, forehead] = [fromShare(face.mesh[chinLandmark]!), fromShare(face.mesh[foreheadLandmark]!)];
  const faceHeight = Math.max(1, distance(chin, forehead));
  return {
    faceHeight,
    chin,
    up: [(forehead[0] - chin[0]) / faceHeight, (forehead[1] - chin[1]) / faceHeight],
    faceOutline: faceOval.map((index) => fromShare(face.mesh[index]!)),
  };
}

/** Head of a person seen from behind or with the face hidden: upright over the shoulders. */
function unseenHead(points: ReadonlyMap<string, PointTuple>, { columns, rows }: Patch): Head {
  const [left, right] = [points.get('left-shoulder'), points.get('right-shoulder')];
  const [leftHip, rightHip] = [points.get('left-hip'), points.get('right-hip')];
  const neck = left && right ? middle(left, right) : ([columns / 2, rows / 4] as const);
  const faceHeight = Math.max(
    leftHip && rightHip ? facePerTorso * distance(neck, middle(leftHip, rightHip)) : 0,
    left && right ? facePerShoulders * distance(left, right) : 0,
    rows / leastFacesPerPatch,
  );
  const seen = ['nose', 'left-ear', 'right-ear']
    .map((name) => points.get(name))
    .filter((point) => point !== undefined);
  const mean = (axis: 0 | 1): number => seen.reduce((sum, point) => sum + point[axis], 0) / seen.length;
  const centre = seen.length > 0 ? [mean(0), mean(1)] : [neck[0], neck[1] - faceHeight];
  return { faceHeight, chin: [centre[0]!, centre[1]! + faceHeight / 2], up: [0, -1], faceOutline: null };
}

export function frameBody(
  subject: Subject,
  pose: PersonMask,
  face: FoundFace | null,
  patch: Patch,
  frame: { readonly width: number; readonly height: number },
): BodyFrame {
  const { region, columns, rows } = patch;
  const onPatch = (x: number, y: number): PointTuple => [
    ((x - region.x) / region.width) * columns,
    ((y - region.y) / region.height) * rows,
  ];
  const fromShare = ([x, y]: PointTuple): PointTuple => onPatch(x * frame.width, y * frame.height);
  const points = new Map(
    subject.keypoints
      .filter((point) => point.score >= minPointScore)
      .map((point) => [point.name as string, fromShare(point.at)]),
  );
  const segments = (from: string, to: string): readonly Segment[] =>
    sides.flatMap((side) => {
      const [a, b] = [points.get(`${side}-${from}`), points.get(`${side}-${to}`)];
      return a === undefined || b === undefined ? [] : [[a, b] as const];
    });
  const visible = (index: number): PointTuple | null => {
    const point = pose.points[index]!;
    return point.visibility >= minVisibility ? fromShare(point.at) : null;
  };

  const hands = sides.flatMap((side) => {
    const found = handPoints[side].map(visible).filter((point) => point !== null);
    if (found.length === 0) return [];
    const sum = (axis: 0 | 1): number =>
      found.reduce((total, point) => total + point[axis], 0) / found.length;
    return [[sum(0), sum(1)] as const];
  });
  const feet = sides.flatMap((side) => {
    const [ankle, heel, toe] = footPoints[side].map(visible);
    return ankle && heel && toe ? [[ankle, heel, toe] as const] : [];
  });

  const torso = ['left-shoulder', 'right-shoulder', 'right-hip', 'left-hip']
    .map((name) => points.get(name))
    .filter((point) => point !== undefined);
  const { faceHeight, chin, up, faceOutline } =
    face === null ? unseenHead(points, patch) : seenHead(face, fromShare);
  // Named one by one: see DEVELOPERS.md, "Hot closures".
  return {
    faceHeight,
    chin,
    up,
    faceOutline,
    torso,
    upperArms: segments('shoulder', 'elbow'),
    forearms: segments('elbow', 'wrist'),
    thighs: segments('hip', 'knee'),
    shins: segments('knee', 'ankle'),
    hands,
    feet,
  };
}
