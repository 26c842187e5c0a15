// The standard normal distribution as tables: an edge fit asks for it several million times a frame.

/** Half-width of the tables, standard deviations; beyond it the cumulative distribution is 0 or 1 within 3e-7. */
const reach = 5;
const stepsPerUnit = 256;
const cdfTable = new Float64Array(2 * reach * stepsPerUnit + 2);

/**
 * Error function, absolute error below 1.5e-7.
 * Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 7.1.26.
 */
export function erf(x: number): number {
  const t = 1 / (1 + 0.3275911 * Math.abs(x));
  const poly =
    t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const y = 1 - poly * Math.exp(-x * x);
  return x < 0 ? -y : y;
}

for (let i = 0; i < cdfTable.length; i++) {
  cdfTable[i] = 0.5 * (1 + erf((i / stepsPerUnit - reach) / Math.SQRT2));
}

/** Cumulative standard normal distribution, by linear interpolation in a table: absolute error below 2e-6. */
export function normalCdf(u: number): number {
  if (!(u > -reach)) return 0;
  if (u >= reach) return 1;
  const at = (u + reach) * stepsPerUnit;
  const i = at | 0;
  const low = cdfTable[i]!;
  return low + (at - i) * (cdfTable[i + 1]! - low);
}

const inverseRoot2Pi = 1 / Math.sqrt(2 * Math.PI);

/** Density of the standard normal distribution. */
export function normalDensity(u: number): number {
  return inverseRoot2Pi * Math.exp(-0.5 * u * u);
}
