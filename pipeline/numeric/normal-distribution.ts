// The standard normal distribution as tables: an edge fit asks for it several million times a frame.

/** Half-width of the tables, standard deviations; beyond it the cumulative distribution is 0 or 1 within 3e-7. */
const reach = 5;
const stepsPerUnit = 256;
const cdfTable = new Float64Array(2 * reach * stepsPerUnit + 2);
const densityTable = new Float64Array(cdfTable.length);
const inverseRoot2Pi = 1 / Math.sqrt(2 * Math.PI);

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
  const u = i / stepsPerUnit - reach;
  cdfTable[i] = 0.5 * (1 + erf(u / Math.SQRT2));
  densityTable[i] = inverseRoot2Pi * Math.exp(-0.5 * u * u);
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

/** Density of the standard normal distribution, 0 beyond the tables; absolute error below 2e-6. */
export function normalDensity(u: number): number {
  if (!(u > -reach) || u >= reach) return 0;
  const at = (u + reach) * stepsPerUnit;
  const i = at | 0;
  const low = densityTable[i]!;
  return low + (at - i) * (densityTable[i + 1]! - low);
}
