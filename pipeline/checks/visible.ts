import type { Measurement } from '../contracts/measurement/measurement.ts';

/**
 * What can be seen at all. A part that is out of sight is not a fault of the frame: its checks do not apply. A part that is in
 * sight and still has no number has to be looked at by a person.
 */

export function noSubject(measurement: Measurement): boolean {
  return measurement.people.subjects.length === 0;
}

/** A body point of at least this confidence is taken for seen, not guessed from the rest of the body: half, as the networks' own examples do (from memory). */
const surelySeen = 0.5;

/** Nose and both eyes are in sight by the body points: a face is there, whether or not the face network could see it. */
function headSeen({ people }: Measurement): boolean {
  const points = people.subjects[0]?.keypoints ?? [];
  return ['nose', 'left-eye', 'right-eye'].every((wanted) =>
    points.some(({ name, score }) => name === wanted && score >= surelySeen),
  );
}

/** Why no face can be seen, or `null` where one should be: a face so soft that no network finds it is still one to look at. */
export function faceHidden(measurement: Measurement): string | null {
  const { framing } = measurement;
  if (noSubject(measurement)) return 'No model was found.';
  if (framing.crop === 'detail') return 'A detail shows the cloth, not the face.';
  if (framing.view === 'back') return 'The model is seen from behind.';
  if (measurement.sharpness.face !== null) return null;
  if (framing.view === 'side') return 'The face is seen from the side.';
  return headSeen(measurement) ? null : 'The head is turned away, hidden or outside the frame.';
}

/** Words by which a measurement's reason says that the eyes are out of sight, rather than in sight and not measurable. */
const outOfSight = /\b(shut|closed|covered|glasses|sunglasses|turned away|hidden)\b/i;

/** Why no eyes can be seen, or `null` where they should be. */
export function eyesHidden(measurement: Measurement): string | null {
  const hidden = faceHidden(measurement);
  if (hidden !== null) return hidden;
  const { reason } = measurement.sharpness;
  return reason.eyes !== undefined && outOfSight.test(reason.eyes) ? reason.eyes : null;
}
