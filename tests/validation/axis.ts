/** A straight axis of a plot: from values to px of the drawing, with round ticks. */

export interface Axis {
  readonly at: (value: number) => number;
  readonly ticks: readonly number[];
  /** Power of ten that the ticks are told in, so that their labels stay short: 0 unless all are small. */
  readonly power: number;
}

/** The smallest of 1, 2 and 5 times a power of ten that divides the span into at most `most` parts. */
function roundStep(span: number, most: number): number {
  const power = 10 ** Math.floor(Math.log10(span / most));
  return ([1, 2, 5].find((factor) => span / (factor * power) <= most) ?? 10) * power;
}

/**
 * @param values at least one; all of them lie on the axis, with a little room at both ends
 * @param most parts between ticks, at least 3: with fewer there may be no round number to mark
 */
export function axisOver(values: readonly number[], fromPx: number, toPx: number, most: number): Axis {
  const [least, greatest] = [Math.min(...values), Math.max(...values)];
  // A single value still needs a length to lie on.
  const room = 0.04 * (greatest - least) || Math.abs(least) || 1;
  const [from, to] = [least - room, greatest + room];
  const step = roundStep(to - from, most);
  const first = Math.ceil(from / step);
  const ticks = Array.from({ length: Math.floor(to / step) - first + 1 }, (_, i) => (first + i) * step);
  const largest = Math.max(...ticks.map(Math.abs));
  return {
    at: (value) => fromPx + ((value - from) / (to - from)) * (toPx - fromPx),
    ticks,
    power: largest > 0 && largest < 0.01 ? Math.floor(Math.log10(largest) + 1e-9) : 0,
  };
}
