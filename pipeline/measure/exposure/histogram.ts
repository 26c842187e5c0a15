/** How often each level occurs, channel by channel, in the file's own encoding: what a camera shows as its histogram. */
import type { FrameImage } from '../../contracts/frame-image.ts';
import { type Histogram, histogramBins } from '../../contracts/measurement/histogram.ts';

/** Px of each code, `codes * channel + code`. */
function countCodes(data: Uint8Array | Uint16Array, codes: number): Uint32Array {
  const counts = new Uint32Array(3 * codes);
  const counted = data instanceof Uint8Array && data.byteOffset % 2 === 0 ? countPairs(data, counts) : 0;
  for (let i = counted; i < data.length; i++) counts[codes * (i % 3) + data[i]!]!++;
  return counts;
}

/** Bytes that are looked at together: two px. */
const stride = 6;

/**
 * Counts two neighbouring bytes as one word of 16 bits, which halves the work: of the words of two px the first holds red and green,
 * the second blue and red, the third green and blue.
 * @returns how many bytes are counted, all but the last few
 */
function countPairs(data: Uint8Array, counts: Uint32Array): number {
  const end = data.length - (data.length % stride);
  const words = new Uint16Array(data.buffer, data.byteOffset, end / 2);
  const tables = [new Uint32Array(65536), new Uint32Array(65536), new Uint32Array(65536)] as const;
  const [redGreen, blueRed, greenBlue] = tables;
  for (let i = 0; i < words.length; i += 3) {
    redGreen[words[i]!]!++;
    blueRed[words[i + 1]!]!++;
    greenBlue[words[i + 2]!]!++;
  }
  tables.forEach((table, place) => {
    const [low, high] = [(2 * place) % 3, (2 * place + 1) % 3];
    for (let word = 0; word < table.length; word++) {
      // All machines that Node runs on keep the first byte in the low half of a word.
      counts[256 * low + (word & 255)]! += table[word]!;
      counts[256 * high + (word >> 8)]! += table[word]!;
    }
  });
  return end;
}

/** Exact counts over all px of the frame. */
export function histogramOf({ encoded: { data, ceiling } }: Pick<FrameImage, 'encoded'>): Histogram {
  const counts = countCodes(data, ceiling + 1);
  const codesPerBin = (ceiling + 1) / histogramBins;
  const channelAt = (channel: number): Histogram['red'] => {
    const pxOf = (code: number): number => counts[(ceiling + 1) * channel + code]!;
    const bins = new Array<number>(histogramBins).fill(0);
    for (let code = 0; code <= ceiling; code++) bins[Math.floor(code / codesPerBin)]! += pxOf(code);
    return { bins, atFloor: pxOf(0), atCeiling: pxOf(ceiling) };
  };
  return { red: channelAt(0), green: channelAt(1), blue: channelAt(2) };
}
