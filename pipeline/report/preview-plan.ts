import type { BodyPoint } from '../contracts/measurement/people.ts';
import type { FrameResult, GarmentResult, Results } from '../contracts/results.ts';

/** Which frames a garment's moving preview shows, and which piece of each, so that the model stands still from frame to frame. */

/** Width over height of a catalogue picture: common practice. */
const previewAspect = 2 / 3;
/** A preview that jumps between a full length and a waist crop shows nothing: one crop, the widest with enough frames first. */
const previewCrops = ['full', 'knee', 'waist'] as const;
/** As a visitor walks around: views in this order. */
const viewOrder = ['front', 'three-quarter', 'side', 'back', 'unknown'];
/** Longer ones are too heavy for a page and tell no more. */
const mostFrames = 8;
/** Body points below this confidence are not used: what the network calls seen (MoveNet's own examples use 0.2 to 0.3). */
const seenScore = 0.3;
/** Height of the torso, shoulders to hips, in the preview, and where its shoulders stand: shares of the preview's height, for each crop. */
const torso = {
  full: { height: 0.29, shouldersAt: 0.21 },
  knee: { height: 0.37, shouldersAt: 0.25 },
  waist: { height: 0.55, shouldersAt: 0.35 },
} as const;
/** Height of the model's box and free room above it, where body points are missing. */
const boxHeight = 0.86;
const boxTop = 0.07;

/** A piece of the upright frame as shares of its width and height; it may reach beyond the frame. */
export interface Window {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface PreviewFrame {
  readonly frame: FrameResult;
  readonly window: Window;
}

interface Torso {
  readonly x: number;
  readonly shouldersY: number;
  readonly height: number;
}

function middle(points: readonly BodyPoint[], side: 'shoulder' | 'hip'): readonly [number, number] | null {
  const two = points.filter(({ name, score }) => name.endsWith(`-${side}`) && score >= seenScore);
  if (two.length === 0) return null;
  return [0, 1].map((axis) => two.reduce((sum, { at }) => sum + at[axis]!, 0) / two.length) as [
    number,
    number,
  ];
}

function torsoOf({ measurement }: FrameResult): Torso | null {
  const points = measurement?.people.subjects[0]?.keypoints ?? [];
  const [shoulders, hips] = [middle(points, 'shoulder'), middle(points, 'hip')];
  if (shoulders === null || hips === null || hips[1] <= shoulders[1]) return null;
  return { x: (shoulders[0] + hips[0]) / 2, shouldersY: shoulders[1], height: hips[1] - shoulders[1] };
}

/** `frameAspect`: width over height of the frame. */
function windowAt(x: number, y: number, height: number, frameAspect: number): Window {
  const width = (height * previewAspect) / frameAspect;
  return { x: x - width / 2, y, width, height };
}

/**
 * At least two frames, or none. All are aligned by torso or all by box: the two do not give the same size.
 */
export function previewOf(garment: GarmentResult, results: Results): readonly PreviewFrame[] {
  const passing = results.frames.filter(
    ({ garment: id, verdict, measurement }) =>
      id === garment.id && verdict === 'pass' && (measurement?.people.subjects.length ?? 0) > 0,
  );
  const crop = previewCrops.find(
    (name) => passing.filter(({ measurement }) => measurement?.framing.crop === name).length >= 2,
  );
  if (crop === undefined) return [];
  const rank = ({ measurement }: FrameResult): number =>
    viewOrder.indexOf(measurement?.framing.view ?? 'unknown');
  const chosen = passing
    .filter(({ measurement }) => measurement?.framing.crop === crop)
    .sort((a, b) => rank(a) - rank(b))
    .slice(0, mostFrames);
  const torsos = chosen.map(torsoOf);
  const byTorso = torsos.every((one) => one !== null);
  return chosen.flatMap((frame, index): PreviewFrame[] => {
    const { measurement } = frame;
    const box = measurement?.people.subjects[0]?.box;
    if (!measurement || !box) return [];
    const aspect = measurement.file.width / measurement.file.height;
    const found = torsos[index];
    if (byTorso && found) {
      const height = found.height / torso[crop].height;
      return [
        {
          frame,
          window: windowAt(found.x, found.shouldersY - torso[crop].shouldersAt * height, height, aspect),
        },
      ];
    }
    const height = box[3] / boxHeight;
    return [{ frame, window: windowAt(box[0] + box[2] / 2, box[1] - boxTop * height, height, aspect) }];
  });
}
