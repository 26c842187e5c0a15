/** Numbers, amounts and lists as findings and documents both say them. */

/** `n` significant digits without a trailing run of zeros, never in exponent form. */
export function figure(value: number, digits: number): string {
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
