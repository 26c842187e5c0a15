/** Numbers and names as findings say them. */
import { amount, listing } from '../contracts/wording.ts';

export { amount, count, listing } from '../contracts/wording.ts';

/** The file's own name; the documents show the whole path beside it. */
export function fileName(frameId: string): string {
  return frameId.slice(frameId.lastIndexOf('/') + 1);
}

/** Up to five file names, then how many more. */
export function fileNames(frameIds: readonly string[]): string {
  const shown = frameIds.slice(0, 5).map(fileName);
  const rest = frameIds.length - shown.length;
  return listing(rest > 0 ? [...shown, `${rest} more`] : shown);
}

/** A value and its limit with as many digits as it takes to tell them apart, so that no finding reads "1.6 px, more than 1.6 px". */
export function against(
  value: number,
  limit: number,
  unit: string,
): { readonly value: string; readonly limit: string } {
  // Twelve digits are more than any measurement has and fewer than a double.
  for (let digits = 2; digits < 12; digits++) {
    const shown = { value: amount(value, unit, digits), limit: amount(limit, unit, digits) };
    if (shown.value !== shown.limit || value === limit) return shown;
  }
  return { value: String(value), limit: String(limit) };
}

const speeds = [4, 8, 15, 30, 60, 125, 250, 500, 1000, 2000, 4000, 8000];

/** The slowest shutter speed of the full-stop series that is no longer than `seconds`. */
export function shutterNoLongerThan(seconds: number): string {
  // The series rounds 1/128 to 1/125 and so on: a fortieth of slack keeps 1/125 s fit for 1/128 s.
  const speed = speeds.find((s) => 1 / s <= seconds * 1.025) ?? 8000;
  return `1/${speed} s`;
}
