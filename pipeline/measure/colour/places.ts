import type { People, Subject } from '../../contracts/measurement/people.ts';
import type { SwatchPlace } from '../../contracts/measurement/swatches.ts';

/** A body point below this says nothing about the place of a limb (the network's publisher recommends 0.3). */
const leastScore = 0.3;
/** Parts of the body by height below the shoulders, in lengths from shoulders to hips: neck, half the torso, below the seat. */
const neck = 0.1;
const midTorso = 0.5;
const seat = 1.1;

/** Of one subject, shares of the frame: the box, the height of the shoulders and the distance from there to the hips. */
export interface Trunk {
  readonly box: Subject['box'];
  readonly shouldersY: number;
  readonly length: number;
}

/** Mean height of a pair of points, as a share of the frame; one of them is enough. */
function heightOf({ keypoints }: Subject, joint: 'shoulder' | 'hip'): number | null {
  const seen = keypoints.filter(({ name, score }) => name.endsWith(joint) && score > leastScore);
  return seen.length === 0 ? null : seen.reduce((sum, { at }) => sum + at[1], 0) / seen.length;
}

/** The subjects' trunks, by which places on a body are named; subjects whose trunk is not seen are left out. */
export function trunksOf({ subjects }: People): readonly Trunk[] {
  return subjects.flatMap((subject): Trunk[] => {
    const shouldersY = heightOf(subject, 'shoulder');
    const hipsY = heightOf(subject, 'hip');
    // Less than a fiftieth of the frame's height is no trunk but a mistake of the network, or somebody lying down.
    if (shouldersY === null || hipsY === null || hipsY - shouldersY < 0.02) return [];
    return [{ box: subject.box, shouldersY, length: hipsY - shouldersY }];
  });
}

/** How far down the body of the subject around it a point (shares of the frame) lies: 0 shoulders, 1 hips; `null` where nobody's trunk tells. */
function heightOnBody(trunks: readonly Trunk[], x: number, y: number): number | null {
  let around = trunks[0];
  for (const trunk of trunks) {
    const { box } = trunk;
    if (x >= box[0] && x <= box[0] + box[2]) {
      around = trunk;
      break;
    }
  }
  return around === undefined ? null : (y - around.shouldersY) / around.length;
}

/** Names the place of a point on a body; coordinates are shares of the frame. */
export type PlaceAt = (trunks: readonly Trunk[], x: number, y: number) => SwatchPlace;

export const clothPlace: PlaceAt = (trunks, x, y) => {
  const down = heightOnBody(trunks, x, y);
  if (down === null) return 'cloth';
  if (down < midTorso) return 'upper-cloth';
  return down < seat ? 'middle-cloth' : 'lower-cloth';
};

export const skinPlace: PlaceAt = (trunks, x, y) => {
  const down = heightOnBody(trunks, x, y);
  if (down === null) return 'skin';
  return down < neck ? 'head-skin' : 'limb-skin';
};
