/** How often each level occurs, channel by channel, in the file's own encoding: what a camera shows as its histogram. */
import type { FrameImage } from '../../contracts/frame-image.ts';
import { type Histogram, histogramBins } from '../../contracts/measurement/histogram.ts';

/**
 * Px of each code, `4 * code + channel`. Two tables take turns: neighbouring px are often equal, and one counter would wait for
 * itself.
 */
function countCodes(data: Uint8Array | Uint16Array, codes: number): Uint32Array {
  const even = new Uint32Array(4 * codes);
  const odd = new Uint32Array(4 * codes);
  const pairs = data.length - (data.length % 6);
  for (let i = 0; i < pairs; i += 6) {
    even[data[i]! << 2]!++;
    even[(data[i + 1]! << 2) + 1]!++;
    even[(data[i + 2]! << 2) + 2]!++;
    odd[data[i + 3]! << 2]!++;
    odd[(data[i + 4]! << 2) + 1]!++;
    odd[(data[i + 5]! << 2) + 2]!++;
  }
  for (let i = pairs; i < data.length; i++) even[(data[i]! << 2) + (i % 3)]!++;
  return even.map((count, at) => count + odd[at]!);
}

/** Exact counts over all px of the frame. */
export function histogramOf({ encoded: { data, ceiling } }: Pick<FrameImage, 'encoded'>): Histogram {
  const counts = countCodes(data, ceiling + 1);
  const codesPerBin = (ceiling + 1) / histogramBins;
  const channelAt = (channel: number): Histogram['red'] => {
    const pxOf = (code: number): number => counts[4 * code + channel]!;
    const bins = new Array<number>(histogramBins).fill(0);
    for (let code = 0; code <= ceiling; code++) bins[Math.floor(code / codesPerBin)]! += pxOf(code);
    return { bins, atFloor: pxOf(0), atCeiling: pxOf(ceiling) };
  };
  return { red: channelAt(0), green: channelAt(1), blue: channelAt(2) };
}
