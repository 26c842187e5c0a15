/** How often each level occurs, channel by channel, in the file's own encoding: what a camera shows as its histogram. */
import type { FrameImage } from '../../contracts/frame-image.ts';
import { type Histogram, histogramBins } from '../../contracts/measurement/histogram.ts';

/** Px counted of a large frame: enough to draw its levels to a thousandth, and the findings on clipping count every px themselves. */
const enoughPx = 1_000_000;

/** Px of each code, `codes * channel + code`, in every `step`-th row and column. */
function countCodes(
  data: Uint8Array | Uint16Array,
  rowLength: number,
  step: number,
  codes: number,
): Uint32Array {
  const counts = new Uint32Array(3 * codes);
  for (let start = 0; start < data.length; start += step * rowLength) {
    for (let i = start; i < start + rowLength; i += 3 * step) {
      counts[data[i]!]!++;
      counts[codes + data[i + 1]!]!++;
      counts[2 * codes + data[i + 2]!]!++;
    }
  }
  return counts;
}

/** Counts over all px of the frame, or over evenly spaced rows and columns of a frame of 4 Mpx and more. */
export function histogramOf({ encoded, srgb }: Pick<FrameImage, 'encoded' | 'srgb'>): Histogram {
  const { data, ceiling } = encoded;
  const step = Math.max(1, Math.floor(Math.sqrt((srgb.width * srgb.height) / enoughPx)));
  const counts = countCodes(data, 3 * srgb.width, step, ceiling + 1);
  const [red, green, blue] = [0, 1, 2].map((channel) =>
    binned(counts.subarray((ceiling + 1) * channel, (ceiling + 1) * (channel + 1))),
  ) as [Histogram['red'], Histogram['red'], Histogram['red']];
  return { red, green, blue };
}

/** @param counts px of each code of one channel */
function binned(counts: Uint32Array): Histogram['red'] {
  const codesPerBin = counts.length / histogramBins;
  const bins = new Array<number>(histogramBins).fill(0);
  for (let code = 0; code < counts.length; code++) bins[Math.floor(code / codesPerBin)]! += counts[code]!;
  return { bins, atFloor: counts[0]!, atCeiling: counts[counts.length - 1]! };
}
