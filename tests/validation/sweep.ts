/** A quantity measured over a range of known truths: held by a reference test, drawn by `npm run validate`. */

export interface SweepPoint {
  /** What is known. */
  readonly truth: number;
  /** What the pipeline says; `null` where it gives no number. */
  readonly measured: number | null;
  /** Limits between which the measured value must lie; where only an error is allowed upwards, `low` equals `truth`. */
  readonly low: number;
  readonly high: number;
  /** What this point was measured under, in words. */
  readonly condition: string;
  /** Where it stands in the plot, in terms of the sweep's `over`. */
  readonly at?: number;
}

/** What is said about a sweep before anything is measured: one row of the README's table of limits. */
export interface SweepHeading {
  readonly id: string;
  readonly quantity: string;
  readonly unit: string;
  readonly range: string;
  /** Where the truth comes from. */
  readonly source: string;
  /** The limits in words. */
  readonly limitText: string;
  /** What the plot runs over with its unit, where that is something else than the truth: every point then has its `at`. */
  readonly over?: string;
}

export interface SweepPlan extends SweepHeading {
  readonly measure: () => Promise<readonly SweepPoint[]>;
}

export interface Sweep extends SweepHeading {
  readonly points: readonly SweepPoint[];
}

export async function take({ measure, ...heading }: SweepPlan): Promise<Sweep> {
  return { ...heading, points: await measure() };
}

/** Whether the measured value lies within the point's limits. */
export function holds({ measured, low, high }: SweepPoint): boolean {
  return measured !== null && measured >= low && measured <= high;
}

/** The points outside their limits, in words: empty where the sweep holds. */
export function missed({ points, unit }: Pick<Sweep, 'points' | 'unit'>): readonly string[] {
  return points
    .filter((point) => !holds(point))
    .map(({ truth, measured, low, high, condition }) => {
      const value = measured === null ? 'none' : measured.toFixed(4);
      return `${condition}: expected ${truth} ${unit} (${low.toFixed(4)} to ${high.toFixed(4)}), measured ${value}`;
    });
}

/** Share of what is allowed that a point's error uses up: 1 is at the limit, infinite where there is no number. */
export function allowanceUsed({ truth, measured, low, high }: SweepPoint): number {
  if (measured === null) return Number.POSITIVE_INFINITY;
  const error = measured - truth;
  if (error === 0) return 0;
  const allowed = error > 0 ? high - truth : truth - low;
  return allowed > 0 ? Math.abs(error) / allowed : Number.POSITIVE_INFINITY;
}

/** The point that comes closest to its limits, or lies furthest beyond them. */
export function worstOf({ points }: Pick<Sweep, 'points'>): SweepPoint {
  if (points.length === 0) throw new Error('A sweep without points shows nothing.');
  return points.reduce((worst, point) => (allowanceUsed(point) > allowanceUsed(worst) ? point : worst));
}
