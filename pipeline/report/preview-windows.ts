import type { BodyPoint } from '../contracts/measurement/people.ts';
import type { FrameResult } from '../contracts/results.ts';

/** Which piece of each frame a moving preview shows, so that the model stands still from frame to frame. */

/** Width over height of a catalogue picture: common practice. */
const previewAspect = 2 / 3;
/** Body points below this confidence are not used: what the network calls seen (MoveNet's own examples use 0.2 to 0.3). */
const seenScore = 0.3;
/**
 * What may be tried for the height of the torso, shoulders to hips, in the preview, and for where its shoulders stand, shares of the
 * preview's height: at one end the model has room around her, at the other the preview stays inside tight frames.
 */
const torso = {
  full: { height: [0.24, 0.3], shouldersAt: [0.15, 0.24] },
  knee: { height: [0.34, 0.42], shouldersAt: [0.19, 0.28] },
  waist: { height: [0.5, 0.62], shouldersAt: [0.27, 0.38] },
} as const;
const step = 0.01;
/** A cut head or foot is worse than a strip beyond the frame's edge, which is drawn on. */
const cutWeight = 4;
/** Height of the model's box and free room above it, where body points are missing. */
const boxHeight = 0.86;
const boxTop = 0.07;

export type PreviewCrop = keyof typeof torso;

/** A piece of the upright frame as shares of its width and height; it may reach beyond the frame. */
export interface Window {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
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

interface Placed {
  readonly torso: Torso;
  readonly top: number;
  readonly bottom: number;
  readonly aspect: number;
}

const windowOf = ({ torso: found, aspect }: Placed, height: number, shouldersAt: number): Window => {
  const tall = found.height / height;
  return windowAt(found.x, found.shouldersY - shouldersAt * tall, tall, aspect);
};

/** What is wrong with a piece: how far it reaches beyond the frame, and how much of the model it cuts off, shares of its size. */
function fault({ top, bottom }: Placed, { x, y, width, height }: Window, crop: PreviewCrop): number {
  const over = (length: number): number => Math.max(0, length);
  const beyond = (over(-x) + over(x + width - 1)) / width + (over(-y) + over(y + height - 1)) / height;
  const feet = crop === 'full' ? over(bottom - y - height) : 0;
  return beyond + (cutWeight * (over(y - top) + feet)) / height;
}

const between = ([from, to]: readonly [number, number]): readonly number[] =>
  Array.from({ length: Math.round((to - from) / step) + 1 }, (_, n) => from + n * step);

/** The torso in one size and place for all frames: the one that does least harm to all of them together. */
function byTorso(frames: readonly Placed[], crop: PreviewCrop): readonly Window[] {
  const tries = between(torso[crop].height).flatMap((height) =>
    between(torso[crop].shouldersAt).map((shouldersAt) => {
      const windows = frames.map((frame) => windowOf(frame, height, shouldersAt));
      return { windows, fault: windows.reduce((sum, one, n) => sum + fault(frames[n]!, one, crop), 0) };
    }),
  );
  return tries.reduce((best, one) => (one.fault < best.fault ? one : best)).windows;
}

/**
 * One piece a frame, in the order given. All are aligned by torso or all by box: the two do not give the same size.
 * @param frames each with a subject.
 */
export function previewWindows(frames: readonly FrameResult[], crop: PreviewCrop): readonly Window[] {
  const placed = frames.flatMap((frame) => {
    const { measurement } = frame;
    const box = measurement?.people.subjects[0]?.box;
    if (!measurement || !box) return [];
    const aspect = measurement.file.width / measurement.file.height;
    return [{ torso: torsoOf(frame), box, top: box[1], bottom: box[1] + box[3], aspect }];
  });
  const withTorso = placed.filter((one): one is typeof one & Placed => one.torso !== null);
  if (withTorso.length === placed.length) return byTorso(withTorso, crop);
  return placed.map(({ box, aspect }) => {
    const height = box[3] / boxHeight;
    return windowAt(box[0] + box[2] / 2, box[1] - boxTop * height, height, aspect);
  });
}
