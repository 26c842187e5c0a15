/** Exact counts of px at the two ends of the file's own encoding, in one pass over the native frame. */
import type { FrameImage } from '../../contracts/frame-image.ts';
import { RunCollector, type Runs } from '../../numeric/blobs.ts';
import { garmentBit, type RegionMap, skinBit } from './region-map.ts';

/** Px with at least one, at least two and all three channels at the ceiling. */
export type ClippedCounts = readonly [one: number, two: number, three: number];

/** Px looked at together: twelve bytes are three whole words. */
const blockPx = 4;

export interface Clipping {
  readonly frame: ClippedCounts;
  readonly garment: ClippedCounts;
  readonly skin: ClippedCounts;
  /** Garment px with at least one channel at the ceiling. */
  readonly clippedGarment: Runs;
  /** Garment px with every channel at 0. */
  readonly blockedGarment: Runs;
}

export function countClipping(image: FrameImage, regions: RegionMap): Clipping {
  const { width, height } = image.srgb;
  const { data, ceiling } = image.encoded;
  const { labels, rowStartOf, columnOf } = regions;
  const words = data instanceof Uint8Array && width >= blockPx ? wordsOf(data) : new Int32Array(0);
  /** Clipped px by label (four of them) and number of clipped channels. */
  const tally = new Float64Array(16);
  const clippedGarment = new RunCollector();
  const blockedGarment = new RunCollector();
  const pixels = width * height;
  const blocks = Math.floor(words.length / 3);
  for (let px = 0; px < pixels; ) {
    const whole = px % blockPx === 0 && px < blocks * blockPx;
    if (whole) px = blockPx * nextRemarkable(words, px / blockPx, blocks);
    if (px >= pixels) break;
    const y = Math.floor(px / width);
    let x = px - y * width;
    /** Something in this block is at an end: go on px by px to the block's or the row's end, whichever comes first. */
    const end = Math.min(px + blockPx - (px % blockPx), px + width - x);
    const rowStart = rowStartOf[y]!;
    if (whole && end - px === blockPx && px < blocks * blockPx && white(words, (px / blockPx) * 3)) {
      const label = labels[rowStart + columnOf[x]!]!;
      const oneRegion =
        label === labels[rowStart + columnOf[x + 1]!]! &&
        label === labels[rowStart + columnOf[x + 2]!]! &&
        label === labels[rowStart + columnOf[x + 3]!]!;
      if (oneRegion) {
        tally[4 * label + 3]! += blockPx;
        if ((label & garmentBit) !== 0) clippedGarment.mark(x, y, blockPx);
        px += blockPx;
      }
    }
    for (let i = 3 * px; px < end; px++, x++, i += 3) {
      const r = data[i]!;
      const g = data[i + 1]!;
      const b = data[i + 2]!;
      const channels = (r === ceiling ? 1 : 0) + (g === ceiling ? 1 : 0) + (b === ceiling ? 1 : 0);
      if (channels === 0 && (r | g | b) !== 0) continue;
      const label = labels[rowStart + columnOf[x]!]!;
      if (channels === 0) {
        if ((label & garmentBit) !== 0) blockedGarment.mark(x, y, 1);
        continue;
      }
      tally[4 * label + channels]!++;
      if ((label & garmentBit) !== 0) clippedGarment.mark(x, y, 1);
    }
  }
  return {
    frame: atLeast(tally, () => true),
    garment: atLeast(tally, (label) => (label & garmentBit) !== 0),
    skin: atLeast(tally, (label) => (label & skinBit) !== 0),
    clippedGarment,
    blockedGarment,
  };
}

function atLeast(tally: Float64Array, wanted: (label: number) => boolean): ClippedCounts {
  const exactly = [1, 2, 3].map((channels) =>
    [0, 1, 2, 3].filter(wanted).reduce((sum, label) => sum + tally[4 * label + channels]!, 0),
  );
  const [one, two, three] = exactly;
  return [one! + two! + three!, two! + three!, three!];
}

/** The bytes four at a time, for as many whole words as there are; none where they do not start on a word. */
function wordsOf(data: Uint8Array): Int32Array {
  if (data.byteOffset % 4 !== 0) return new Int32Array(0);
  return new Int32Array(data.buffer, data.byteOffset, data.length >> 2);
}

/** In every byte the lower seven bits, and the uppermost one. */
const lower = 0x7f7f7f7f;
const uppermost = 0x80808080 | 0;

/**
 * The first block from `block` on whose twelve bytes (four px) hold a 255 or a 0, or `blocks` where none does. In such a byte every bit
 * equals the next one; adding 0x7f to the bits that differ sets the uppermost bit of all other bytes (after the zero-byte test of
 * Hacker's Delight, Warren, 2nd edition, 6-1). Most of a frame is passed over here.
 */
function nextRemarkable(words: Int32Array, block: number, blocks: number): number {
  for (let word = 3 * block; block < blocks; block++, word += 3) {
    const a = words[word]!;
    const b = words[word + 1]!;
    const c = words[word + 2]!;
    const differing =
      (((a ^ (a >>> 1)) & lower) + lower) &
      (((b ^ (b >>> 1)) & lower) + lower) &
      (((c ^ (c >>> 1)) & lower) + lower);
    if ((differing & uppermost) !== uppermost) break;
  }
  return block;
}

/** Whether the twelve bytes from `word` on are all 255: blown sky, which must not cost the time of the rest of the frame. */
function white(words: Int32Array, word: number): boolean {
  return (words[word]! & words[word + 1]! & words[word + 2]!) === -1;
}
