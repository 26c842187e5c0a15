import { normalCdf } from './normal-distribution.ts';

/** Step of the grid of candidate values: where they are logarithms, half of it is a resolution of 1.5 %. */
const gridStep = 0.03;
/** Sweeps of expectation-maximisation: more moved the quantile of equal values with 10 % errors by less than 0.5 %. */
const sweeps = 200;
/** Weight moved in a sweep below which nothing more comes of further ones. */
const stillness = 3e-4;
/** A candidate value further than this from a measured one, in standard uncertainties, has nothing to do with it. */
const bandSigmas = 4.5;

/**
 * Quantile of the true values behind measured ones that each carry a normal error of known size.
 *
 * The quantile of the measured values themselves would fall below the true one the more, the larger the errors are: a noisy picture
 * would read sharper. So the distribution of the true values is estimated first (nonparametric maximum likelihood for a mixture of
 * normals: Kiefer and Wolfowitz, Annals of Mathematical Statistics 27, 1956; solved by expectation-maximisation on a fixed grid: Laird,
 * JASA 73, 1978), and the quantile is read from that.
 *
 * @param values any unit, at least one.
 * @param errors standard uncertainties, same unit, > 0.
 * @param share 0..1.
 */
export function noisyQuantile(values: readonly number[], errors: readonly number[], share: number): number {
  if (values.length === 0) throw new RangeError('expected at least one value, received none');
  const single = singleValue(values, errors);
  if (single !== null) return single;
  const low = Math.min(...values) - gridStep;
  const high = Math.max(...values) + gridStep;
  const cells = Math.max(2, Math.ceil((high - low) / gridStep));
  const width = (high - low) / cells;
  const rows: KernelRow[] = [];
  for (const [i, value] of values.entries()) rows.push(kernelRow(value, errors[i]!, low, width, cells));
  const weights = maximumLikelihoodWeights(rows, cells);
  let sum = 0;
  for (let j = 0; j < cells; j++) {
    const next = sum + weights[j]!;
    if (next >= share) return low + (j + (share - sum) / weights[j]!) * width;
    sum = next;
  }
  return high;
}

/**
 * The one value behind all the measured ones, `null` where they differ by more than their errors: chi-squared above its expectation.
 * A distribution fitted to values that scatter no more than that would find a spread in what is noise, and its quantile be low.
 */
function singleValue(values: readonly number[], errors: readonly number[]): number | null {
  let weight = 0;
  let sum = 0;
  for (let i = 0; i < values.length; i++) {
    weight += errors[i]! ** -2;
    sum += values[i]! * errors[i]! ** -2;
  }
  const mean = sum / weight;
  const chiSquared = values.reduce((total, value, i) => total + ((value - mean) / errors[i]!) ** 2, 0);
  return chiSquared <= values.length ? mean : null;
}

/** Likelihood of each candidate cell for one measured value, from the first cell that matters on. */
interface KernelRow {
  readonly from: number;
  readonly likelihood: Float64Array;
}

/** A cell counts with its whole width, so an error smaller than the grid does not fall between its points. */
function kernelRow(value: number, error: number, low: number, width: number, cells: number): KernelRow {
  const from = Math.max(0, Math.floor((value - bandSigmas * error - low) / width));
  const to = Math.min(cells, Math.ceil((value + bandSigmas * error - low) / width));
  const likelihood = new Float64Array(to - from);
  for (let j = from; j < to; j++) {
    const left = low + j * width - value;
    likelihood[j - from] = normalCdf((left + width) / error) - normalCdf(left / error) + 1e-12;
  }
  return { from, likelihood };
}

function maximumLikelihoodWeights(rows: readonly KernelRow[], cells: number): Float64Array {
  let weights = new Float64Array(cells).fill(1 / cells);
  let next = new Float64Array(cells);
  for (let k = 0; k < sweeps; k++) {
    next.fill(0);
    for (const { from, likelihood } of rows) {
      let total = 0;
      for (let j = 0; j < likelihood.length; j++) total += weights[from + j]! * likelihood[j]!;
      const scale = 1 / (total * rows.length);
      for (let j = 0; j < likelihood.length; j++) {
        next[from + j]! += weights[from + j]! * likelihood[j]! * scale;
      }
    }
    let moved = 0;
    for (let j = 0; j < cells; j++) moved += Math.abs(next[j]! - weights[j]!);
    [weights, next] = [next, weights];
    if (moved < stillness) break;
  }
  return weights;
}
