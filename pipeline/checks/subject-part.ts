import type { Box } from '../contracts/box.ts';
import type { Measurement } from '../contracts/measurement/measurement.ts';
import type { bodyPointNames } from '../contracts/measurement/people.ts';

type PointName = (typeof bodyPointNames)[number];

/** Points of the head in the order of the COCO keypoint challenge. */
const parts = {
  eyes: ['left-eye', 'right-eye'],
  face: ['nose', 'left-eye', 'right-eye', 'left-ear', 'right-ear'],
} as const satisfies Readonly<Record<string, readonly PointName[]>>;

/** A body point below this confidence is not drawn: the network's authors draw from 0.3 (MoveNet, from memory). */
const leastScore = 0.3;

/**
 * Where a finding about the subject points: around the eyes, around the face, or the whole subject.
 * `undefined` where the body points do not say; the finding then has no place in the picture.
 */
export function subjectPart(measurement: Measurement, part: 'eyes' | 'face' | 'garment'): Box | undefined {
  const subject = measurement.people.subjects[0];
  if (subject === undefined) return undefined;
  if (part === 'garment') return subject.box;
  const names: readonly string[] = parts[part];
  const points = subject.keypoints.filter(({ name, score }) => names.includes(name) && score >= leastScore);
  if (points.length < 2) return undefined;
  const xs = points.map(({ at }) => at[0]);
  const ys = points.map(({ at }) => at[1]);
  const width = Math.max(...xs) - Math.min(...xs);
  // The points are centres of eyes and ears: half their spread around them takes in lids, brow and chin.
  const margin = Math.max(width, Math.max(...ys) - Math.min(...ys)) * (part === 'eyes' ? 0.35 : 0.5);
  const left = Math.max(0, Math.min(...xs) - margin);
  const top = Math.max(0, Math.min(...ys) - margin);
  return [
    left,
    top,
    Math.min(1, Math.max(...xs) + margin) - left,
    Math.min(1, Math.max(...ys) + margin) - top,
  ];
}
