/** A share of successes with the interval that holds the true share with 95 % confidence; all 0..1. */
export interface Proportion {
  readonly successes: number;
  readonly trials: number;
  readonly share: number;
  readonly low: number;
  readonly high: number;
}

/** 97.5 % point of the standard normal distribution. */
const normal975 = 1.959963984540054;

/**
 * Wilson score interval without continuity correction; `null` where there were no trials.
 * Wilson, "Probable inference, the law of succession, and statistical inference", JASA 22 (1927) 209-212.
 * @throws RangeError unless 0 <= successes <= trials and both are whole.
 */
export function wilsonInterval(successes: number, trials: number): Proportion | null {
  if (!Number.isInteger(successes) || !Number.isInteger(trials) || successes < 0 || successes > trials) {
    throw new RangeError(`expected whole successes between 0 and trials, received ${successes} of ${trials}`);
  }
  if (trials === 0) return null;
  const share = successes / trials;
  const z2 = normal975 * normal975;
  const centre = share + z2 / (2 * trials);
  const spread = normal975 * Math.sqrt((share * (1 - share)) / trials + z2 / (4 * trials * trials));
  const scale = 1 + z2 / trials;
  return {
    successes,
    trials,
    share,
    // The bounds at 0 and `trials` successes are exactly 0 and 1; rounding must not move them.
    low: successes === 0 ? 0 : Math.max(0, (centre - spread) / scale),
    high: successes === trials ? 1 : Math.min(1, (centre + spread) / scale),
  };
}
