import type { Measurement } from '../contracts/measurement/measurement.ts';

/**
 * What can be seen at all. A part that is out of sight is not a fault of the frame: its checks do not apply. A part that is in
 * sight and still has no number has to be looked at by a person.
 */

export function noSubject(measurement: Measurement): boolean {
  return measurement.people.subjects.length === 0;
}

/** Why no face can be seen, or `null` where one should be. */
export function faceHidden({ framing, people, sharpness }: Measurement): string | null {
  if (people.subjects.length === 0) return 'No model was found.';
  if (framing.crop === 'detail') return 'A detail shows the cloth, not the face.';
  if (framing.view === 'back') return 'The model is seen from behind.';
  return hiddenBy(sharpness.reason.face);
}

/** Why no eyes can be seen, or `null` where they should be. */
export function eyesHidden(measurement: Measurement): string | null {
  return faceHidden(measurement) ?? hiddenBy(measurement.sharpness.reason.eyes);
}

/** Words by which a measurement's reason says that the part is out of sight, rather than in sight and not measurable. */
const outOfSight =
  /\b(closed|covered|sunglasses|turned[- ]away|turned aside|hidden|behind hair|seen from behind|out of (the )?(frame|sight)|no face|no eyes?)\b/i;

function hiddenBy(reason: string | undefined): string | null {
  return reason !== undefined && outOfSight.test(reason) ? reason : null;
}
