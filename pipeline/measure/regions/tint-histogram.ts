/** Colour models of the parts as smoothed histograms over tint. */

/** Bins and range of lightness, log red/green and log blue/green; ranges hold sRGB cloth up to the most saturated dyes. */
const axes = [
  { bins: 10, low: 0, high: 1 },
  { bins: 14, low: -0.8, high: 1.6 },
  { bins: 14, low: -1.6, high: 0.8 },
] as const;
export const binCount = axes[0].bins * axes[1].bins * axes[2].bins;
const binVolume = axes.reduce((volume, { bins, low, high }) => (volume * (high - low)) / bins, 1);
/** Share of a histogram that is spread evenly, so that no colour is impossible. */
const evenShare = 0.01;

/** Bin of every cell; colours beyond the range fall into the outermost bins. */
export function binTints(tint: Float32Array): Uint16Array {
  const bins = new Uint16Array(tint.length / 3);
  for (let cell = 0; cell < bins.length; cell++) {
    let bin = 0;
    for (let axis = 0; axis < 3; axis++) {
      const { bins: count, low, high } = axes[axis]!;
      const place = Math.floor(((tint[3 * cell + axis]! - low) / (high - low)) * count);
      bin = bin * count + Math.min(count - 1, Math.max(0, place));
    }
    bins[cell] = bin;
  }
  return bins;
}

/** Smooths with 1-2-1 along each axis and scales to a probability density over tint. */
export function toDensity(counts: Float32Array): Float32Array {
  let smooth = counts;
  let step = binCount;
  for (const { bins } of axes) {
    step /= bins;
    const next = new Float32Array(binCount);
    for (let bin = 0; bin < binCount; bin++) {
      const place = Math.floor(bin / step) % bins;
      const before = smooth[place > 0 ? bin - step : bin]!;
      const after = smooth[place < bins - 1 ? bin + step : bin]!;
      next[bin] = 0.25 * before + 0.5 * smooth[bin]! + 0.25 * after;
    }
    smooth = next;
  }
  let total = 0;
  for (const count of smooth) total += count;
  const even = 1 / binCount / binVolume;
  const density = new Float32Array(binCount).fill(even);
  if (total === 0) return density;
  for (let bin = 0; bin < binCount; bin++) {
    density[bin] = (1 - evenShare) * (smooth[bin]! / total / binVolume) + evenShare * even;
  }
  return density;
}
