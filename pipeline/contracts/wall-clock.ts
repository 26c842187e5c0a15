/**
 * What the camera's clock showed, as ms on an axis without zones: two bodies of one shoot stand in one place, and one of them may
 * write its UTC offset while the other does not.
 * @param takenAt ISO 8601 as in `Capture`; the offset at its end is not used.
 * @returns `null` where it is no time.
 */
export function wallClockMs(takenAt: string | null): number | null {
  if (takenAt === null) return null;
  const local = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:\.\d+)?/.exec(takenAt)?.[0];
  const ms = local === undefined ? Number.NaN : Date.parse(`${local}Z`);
  return Number.isFinite(ms) ? ms : null;
}

/** The same axis back to text: ISO 8601 to the second, without a zone. */
export function wallClockText(ms: number): string {
  return new Date(ms).toISOString().slice(0, 19);
}

/** Which body took a frame: make, model and serial number, as far as the camera wrote them. */
export function bodyOf(capture: {
  readonly make: string | null;
  readonly model: string | null;
  readonly serial: string | null;
}): string {
  const parts = [capture.make, capture.model, capture.serial].filter((part) => part !== null);
  return parts.join(' ') || 'unknown body';
}
