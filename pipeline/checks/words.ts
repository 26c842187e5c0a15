/** Numbers and names as findings say them. */

/** `n` significant digits without a trailing run of zeros, never in exponent form. */
function figure(value: number, digits: number): string {
  if (value === 0) return '0';
  const whole = Math.floor(Math.log10(Math.abs(value))) + 1;
  return Number(value.toPrecision(Math.max(digits, whole)))
    .toFixed(Math.max(0, Math.min(20, digits - whole)))
    .replace(/(\.\d*?)0+$/, '$1')
    .replace(/\.$/, '');
}

/** `1 frame`, `3 frames`. */
export function count(n: number, noun: string): string {
  return `${n} ${noun}${n === 1 ? '' : 's'}`;
}

/** `a`, `a and b`, `a, b and c`. */
export function listing(words: readonly string[], last = 'and'): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1)}`;
}

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

/**
 * A number with its unit as a photographer says it: `3.1 px`, `2.3 %`, `1/250 s`, `f/1.8`, `ISO 3200`.
 * @param digits significant digits, 2 unless told.
 */
export function amount(value: number, unit: string, digits = 2): string {
  switch (unit) {
    case 'share':
      return `${figure(value * 100, digits)} %`;
    case 's':
      // Shutters are named by their reciprocal down to about a third of a second (common practice).
      return value > 0 && value < 0.35 ? `1/${figure(1 / value, digits)} s` : `${figure(value, digits)} s`;
    case 'f-number':
      return `f/${figure(value, digits)}`;
    case 'ISO':
      return `ISO ${figure(value, digits)}`;
    case 'times':
      return `${figure(value, digits)} times`;
    case 'Duv':
      return `Duv ${figure(value, digits)}`;
    case 'frames':
      return count(value, 'frame');
    case 'people':
      return value === 1 ? '1 person' : `${value} people`;
    case 'settings':
      return count(value, 'setting');
    case 'bits':
      return count(value, 'bit');
    case 'stops':
      return value === 1 ? '1 stop' : `${figure(value, digits)} stops`;
    default:
      return unit === '' ? figure(value, digits) : `${figure(value, digits)} ${unit}`;
  }
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
