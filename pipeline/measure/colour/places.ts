import type { People, Subject } from '../../contracts/measurement/people.ts';
import type { SwatchPlace } from '../../contracts/measurement/swatches.ts';

/** A body point below this says nothing about the place of a limb (the network's publisher recommends 0.3). */
const leastScore = 0.3;
/** Parts of the body by height below the shoulders, in lengths from shoulders to hips: neck, half the torso, below the seat. */
const neck = 0.1;
const midTorso = 0.5;
const seat = 1.1;

type Point = readonly [number, number];

interface Trunk {
  readonly shouldersY: number;
  readonly length: number;
}

/** Mean height of a pair of points, as a share of the frame; one of them is enough. */
function heightOf({ keypoints }: Subject, joint: 'shoulder' | 'hip'): number | null {
  const seen = keypoints.filter(({ name, score }) => name.endsWith(joint) && score > leastScore);
  return seen.length === 0 ? null : seen.reduce((sum, { at }) => sum + at[1], 0) / seen.length;
}

function trunkOf(subject: Subject): Trunk | null {
  const shouldersY = heightOf(subject, 'shoulder');
  const hipsY = heightOf(subject, 'hip');
  // Less than a fiftieth of the frame's height is no trunk but a mistake of the network, or somebody lying down.
  if (shouldersY === null || hipsY === null || hipsY - shouldersY < 0.02) return null;
  return { shouldersY, length: hipsY - shouldersY };
}

/** How far down the body of the subject around it a point (shares of the frame) lies: 0 shoulders, 1 hips; `null` where nobody's trunk tells. */
function heightOnBody(people: People): (at: Point) => number | null {
  const bodies = people.subjects.flatMap((subject) => {
    const trunk = trunkOf(subject);
    return trunk === null ? [] : [{ box: subject.box, trunk }];
  });
  return ([x, y]) => {
    const around = bodies.find(({ box }) => x >= box[0] && x <= box[0] + box[2]) ?? bodies[0];
    return around === undefined ? null : (y - around.trunk.shouldersY) / around.trunk.length;
  };
}

/** Names the place of a point of cloth or of skin; coordinates are shares of the frame. */
export function placesOn(people: People): {
  readonly cloth: (at: Point) => SwatchPlace;
  readonly skin: (at: Point) => SwatchPlace;
} {
  const height = heightOnBody(people);
  return {
    cloth: (at) => {
      const down = height(at);
      if (down === null) return 'cloth';
      if (down < midTorso) return 'upper-cloth';
      return down < seat ? 'middle-cloth' : 'lower-cloth';
    },
    skin: (at) => {
      const down = height(at);
      if (down === null) return 'skin';
      return down < neck ? 'head-skin' : 'limb-skin';
    },
  };
}
