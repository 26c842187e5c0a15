/**
 * Spatial frequency response from a slanted edge, after ISO 12233:2014 clause 6 (super-sampling by 4, derivative [-1/2 0 1/2], Hamming
 * window round the peak, DFT, correction of the derivative; see the facts in the tests that use it). Own code: it shares nothing with
 * the pipeline and works on one near-vertical edge, dark to the left, that runs through the whole picture.
 */

const binsPerPx = 4;

/** Where a row crosses from dark to bright: centroid of its derivative. */
function centroid(
  luma: ArrayLike<number>,
  from: number,
  width: number,
  window: (x: number) => number,
): number {
  let sum = 0;
  let moment = 0;
  for (let x = 0; x + 1 < width; x++) {
    const slope = (luma[from + x + 1]! - luma[from + x]!) * window(x + 0.5);
    sum += slope;
    moment += slope * (x + 0.5);
  }
  return moment / sum;
}

/** Least-squares line through x(y). */
function line(xs: readonly number[]): { readonly at: (y: number) => number; readonly slope: number } {
  const n = xs.length;
  const meanY = (n - 1) / 2;
  const meanX = xs.reduce((a, b) => a + b, 0) / n;
  let cross = 0;
  let square = 0;
  xs.forEach((x, y) => {
    cross += (y - meanY) * (x - meanX);
    square += (y - meanY) ** 2;
  });
  const slope = cross / square;
  return { at: (y) => meanX + slope * (y - meanY), slope };
}

const hamming = (offset: number, halfWidth: number): number =>
  Math.abs(offset) > halfWidth ? 0 : 0.54 + 0.46 * Math.cos((Math.PI * offset) / halfWidth);

/** The edge crossing of every row: first over the whole row, then in ever closer windows round the line found. */
function edgeLine(luma: ArrayLike<number>, width: number, height: number): ReturnType<typeof line> {
  let found = line(Array.from({ length: height }, () => width / 2));
  for (const halfWidth of [width / 2, width / 4, width / 8, width / 8]) {
    const crossings = Array.from({ length: height }, (_, y) =>
      centroid(luma, y * width, width, (x) => hamming(x - found.at(y), halfWidth)),
    );
    found = line(crossings);
  }
  return found;
}

/** Edge spread at quarters of a px from the edge, along the rows; 0 at the middle of the result. */
function edgeSpreadFunction(
  luma: ArrayLike<number>,
  width: number,
  height: number,
  at: (y: number) => number,
): number[] {
  const half = Math.floor(width / 4) * binsPerPx;
  const sums = new Float64Array(2 * half);
  const counts = new Float64Array(2 * half);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const bin = Math.floor((x - at(y)) * binsPerPx) + half;
      if (bin < 0 || bin >= 2 * half) continue;
      sums[bin]! += luma[y * width + x]!;
      counts[bin]! += 1;
    }
  }
  const spread = Array.from(sums, (sum, i) => sum / counts[i]!);
  return spread.map((value, i) => (Number.isNaN(value) ? (spread[i - 1] ?? spread[i + 1]!) : value));
}

/** Modulation at a frequency in cycles per px along the edge's normal. */
export type Response = (cyclesPerPx: number) => number;

/** @param luma row after row. */
export function slantedEdgeResponse(luma: ArrayLike<number>, width: number, height: number): Response {
  const { at, slope } = edgeLine(luma, width, height);
  const spread = edgeSpreadFunction(luma, width, height, at);
  const middle = spread.length / 2;
  const lines = spread.map((_, i) =>
    i === 0 || i + 1 === spread.length ? 0 : (spread[i + 1]! - spread[i - 1]!) / 2,
  );
  const windowed = lines.map((value, i) => value * hamming(i - middle, middle));
  const total = windowed.reduce((a, b) => a + b, 0);
  const cosine = 1 / Math.hypot(1, slope);
  return (cyclesPerPx) => {
    const alongRow = cyclesPerPx * cosine;
    let real = 0;
    let imaginary = 0;
    windowed.forEach((value, i) => {
      const phase = (2 * Math.PI * alongRow * i) / binsPerPx;
      real += value * Math.cos(phase);
      imaginary += value * Math.sin(phase);
    });
    const half = (Math.PI * alongRow) / 2;
    const derivative = half === 0 ? 1 : Math.min(10, half / Math.sin(half));
    return (Math.hypot(real, imaginary) / total) * derivative;
  };
}

/** Frequency at which the modulation first falls to a half, cycles per px. */
export function mtf50Of(response: Response): number {
  const step = 0.002;
  let before = 1;
  for (let f = step; f <= 1; f += step) {
    const now = response(f);
    if (now < 0.5) return f - (step * (0.5 - now)) / (before - now);
    before = now;
  }
  throw new RangeError('expected a modulation that falls to a half below 1 cycle per px, received none');
}
