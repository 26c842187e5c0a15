/** A quantity measured over a range of known truths: held by a reference test, drawn by `npm run validate`. */

export interface SweepPoint {
  /** What is known. */
  readonly truth: number;
  /** What the pipeline says; `null` where it gives no number. */
  readonly measured: number | null;
  /** Limits between which the measured value must lie. */
  readonly low: number;
  readonly high: number;
  /** What this point was measured under, in words. */
  readonly condition: string;
}

export interface Sweep {
  readonly id: string;
  readonly quantity: string;
  readonly unit: string;
  readonly range: string;
  /** Where the truth comes from. */
  readonly source: string;
  /** The limits in words. */
  readonly limitText: string;
  readonly points: readonly SweepPoint[];
}

/** The points outside their limits, in words: empty where the sweep holds. */
export function missed({ points, unit }: Sweep): readonly string[] {
  return points
    .filter(({ measured, low, high }) => measured === null || !(measured >= low && measured <= high))
    .map(({ truth, measured, low, high, condition }) => {
      const value = measured === null ? 'none' : measured.toFixed(4);
      return `${condition}: expected ${truth} ${unit} (${low.toFixed(4)} to ${high.toFixed(4)}), measured ${value}`;
    });
}
