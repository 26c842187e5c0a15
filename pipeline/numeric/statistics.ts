/** Robust statistics and seeded chance. No function changes its input. */

/**
 * Value below which `share` (0..1) of the numbers lie, straight-line between order statistics
 * (definition 7 of Hyndman and Fan, The American Statistician 50 (1996) 361-365).
 * @throws RangeError for no numbers.
 */
export function percentile(values: ArrayLike<number>, share: number): number {
  const numbers = new Float64Array(values);
  if (numbers.length === 0) throw new RangeError('A percentile needs at least one number.');
  const position = Math.min(1, Math.max(0, share)) * (numbers.length - 1);
  const below = Math.floor(position);
  const low = select(numbers, below);
  let high = below + 1 < numbers.length ? Number.POSITIVE_INFINITY : low;
  for (let i = below + 1; i < numbers.length; i++) if (numbers[i]! < high) high = numbers[i]!;
  return low + (high - low) * (position - below);
}

/**
 * Moves the numbers about until the one at `place` is that of the sorted ones, none before it is larger and none behind it smaller
 * (Hoare, "Algorithm 65: FIND", Communications of the ACM 4 (1961) 321): a percentile needs no more order than that.
 * @returns the number at `place`
 */
function select(numbers: Float64Array, place: number): number {
  for (let left = 0, right = numbers.length - 1; left < right; ) {
    const pivot = numbers[place]!;
    let i = left;
    let j = right;
    while (i <= j) {
      while (numbers[i]! < pivot) i++;
      while (pivot < numbers[j]!) j--;
      if (i > j) break;
      const moved = numbers[i]!;
      numbers[i++] = numbers[j]!;
      numbers[j--] = moved;
    }
    if (j < place) left = i;
    if (place < i) right = j;
  }
  return numbers[place]!;
}

export function median(values: ArrayLike<number>): number {
  return percentile(values, 0.5);
}

/** 1 / Phi^-1(3/4): makes the median absolute deviation of a normal distribution equal to its standard deviation. */
export const madToSigma = 1.482602218505602;

/** Standard deviation as the median absolute deviation from the median sees it: up to half of the numbers may be wild. */
export function madSigma(values: ArrayLike<number>): number {
  const centre = median(values);
  const deviations = new Float64Array(values.length);
  for (let i = 0; i < values.length; i++) deviations[i] = Math.abs(values[i]! - centre);
  return madToSigma * median(deviations);
}

/**
 * Smallest value at which half of the weight is reached; the mean of two neighbours where the half falls between them.
 * @throws RangeError for no numbers or no weight.
 */
export function weightedMedian(values: ArrayLike<number>, weights: ArrayLike<number>): number {
  const order = Array.from(values, (value, i) => ({ value, weight: weights[i] ?? 0 }))
    .filter(({ weight }) => weight > 0)
    .sort((a, b) => a.value - b.value);
  const half = order.reduce((sum, { weight }) => sum + weight, 0) / 2;
  if (!(half > 0)) throw new RangeError('A weighted median needs at least one number of positive weight.');
  let reached = 0;
  for (const [i, { value, weight }] of order.entries()) {
    reached += weight;
    if (reached === half) return (value + (order[i + 1]?.value ?? value)) / 2;
    if (reached > half) return value;
  }
  return order[order.length - 1]!.value;
}

export function mean(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i]!;
  return sum / values.length;
}

/** Sample standard deviation (n - 1). 0 for fewer than two numbers. */
export function standardDeviation(values: ArrayLike<number>): number {
  if (values.length < 2) return 0;
  const centre = mean(values);
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += (values[i]! - centre) ** 2;
  return Math.sqrt(sum / (values.length - 1));
}

/**
 * Even pseudo-random numbers in [0, 1), the same for the same seed on every machine:
 * xoshiro128** of Blackman and Vigna (ACM TOMS 47 (2021) article 36), its state filled by splitmix32.
 */
export function seededRandom(seed: number): () => number {
  const state = new Uint32Array(4);
  let filler = seed >>> 0;
  for (let i = 0; i < 4; i++) {
    filler = (filler + 0x9e3779b9) >>> 0;
    let mixed = Math.imul(filler ^ (filler >>> 16), 0x85ebca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
    state[i] = mixed ^ (mixed >>> 16);
  }
  return () => nextXoshiro128(state) / 2 ** 32;
}

/** Next 32-bit output of xoshiro128**; moves `state` (four words, not all 0) on. */
export function nextXoshiro128(state: Uint32Array): number {
  const s1 = state[1]!;
  const scrambled = Math.imul(rotate(Math.imul(s1, 5), 7), 9) >>> 0;
  state[2]! ^= state[0]!;
  state[3]! ^= s1;
  state[1]! ^= state[2]!;
  state[0]! ^= state[3]!;
  state[2]! ^= s1 << 9;
  state[3] = rotate(state[3]!, 11);
  return scrambled;
}

/**
 * Values of a statistic on `resamples` samples drawn with replacement (Efron, Annals of Statistics 7 (1979) 1-26).
 * The spread of what comes back is the uncertainty of the statistic.
 * @param count how many things there are to draw from
 * @param statistic gets the indices drawn; `null` where it has no value on this sample, which is then left out
 */
export function bootstrap<T>(
  count: number,
  resamples: number,
  seed: number,
  statistic: (drawn: Uint32Array) => T | null,
): T[] {
  const random = seededRandom(seed);
  const drawn = new Uint32Array(count);
  const values: T[] = [];
  for (let i = 0; i < resamples; i++) {
    for (let j = 0; j < count; j++) drawn[j] = Math.floor(random() * count);
    const value = statistic(drawn);
    if (value !== null) values.push(value);
  }
  return values;
}

function rotate(word: number, by: number): number {
  return (word << by) | (word >>> (32 - by));
}
