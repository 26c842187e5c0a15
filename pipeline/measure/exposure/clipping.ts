/** Exact counts of px at the two ends of the file's own encoding, in one pass over the native frame. */
import type { FrameImage } from '../../contracts/frame-image.ts';
import { RunCollector, type Runs } from '../../numeric/blobs.ts';
import { EndFinder, groupSamples } from '../../numeric/end-finder.ts';
import { garmentBit, type RegionMap, skinBit } from './region-map.ts';

/** Px with at least one, at least two and all three channels at the ceiling. */
export type ClippedCounts = readonly [one: number, two: number, three: number];

/** Px looked at together where they are white: twelve bytes are three whole words. */
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
  const { data } = image.encoded;
  const counter = new Counter(image, regions);
  if (data instanceof Uint8Array) {
    // Most of a frame is passed over here.
    const ends = new EndFinder(data);
    for (let at = ends.next(0); at < data.length; ) at = ends.next(counter.count(at, groupSamples));
  } else {
    counter.count(0, data.length);
  }
  const { tally, clippedGarment, blockedGarment } = counter;
  return {
    frame: atLeast(tally, () => true),
    garment: atLeast(tally, (label) => (label & garmentBit) !== 0),
    skin: atLeast(tally, (label) => (label & skinBit) !== 0),
    clippedGarment,
    blockedGarment,
  };
}

class Counter {
  /** Clipped px by label (four of them) and number of clipped channels. */
  readonly tally = new Float64Array(16);
  readonly clippedGarment = new RunCollector();
  readonly blockedGarment = new RunCollector();
  private readonly width: number;
  private readonly encoded: FrameImage['encoded'];
  private readonly regions: RegionMap;
  private readonly words: Int32Array;

  constructor({ srgb, encoded }: FrameImage, regions: RegionMap) {
    this.width = srgb.width;
    this.encoded = encoded;
    this.regions = regions;
    this.words = encoded.data instanceof Uint8Array ? wordsOf(encoded.data) : new Int32Array(0);
  }

  /**
   * Counts px from sample `from` on, until `patience` samples show nothing more to count.
   * @returns the first sample not looked at
   */
  count(from: number, patience: number): number {
    const { width, tally } = this;
    const { data, ceiling } = this.encoded;
    const { labels, rowStartOf, columnOf } = this.regions;
    let y = Math.floor(from / 3 / width);
    let x = from / 3 - y * width;
    let rowStart = rowStartOf[y]!;
    let i = from;
    for (let end = from + patience; i < end && i < data.length; i += 3, x++) {
      if (x === width) {
        x = 0;
        rowStart = rowStartOf[++y]!;
      }
      const r = data[i]!;
      const g = data[i + 1]!;
      const b = data[i + 2]!;
      const channels = (r === ceiling ? 1 : 0) + (g === ceiling ? 1 : 0) + (b === ceiling ? 1 : 0);
      if (channels === 0 && (r | g | b) !== 0) continue;
      end = i + patience;
      const label = labels[rowStart + columnOf[x]!]!;
      const onGarment = (label & garmentBit) !== 0;
      if (channels === 0) {
        if (onGarment) this.blockedGarment.mark(x, y, 1);
        continue;
      }
      const px = channels === 3 && this.isWhiteBlock(i, x, rowStart) ? blockPx : 1;
      tally[4 * label + channels]! += px;
      if (onGarment) this.clippedGarment.mark(x, y, px);
      i += 3 * (px - 1);
      x += px - 1;
    }
    return i;
  }

  /** Whether a block of one row and one region begins here and is white: blown sky, which must not cost the time of the rest of the frame. */
  private isWhiteBlock(sample: number, x: number, rowStart: number): boolean {
    const { words, width } = this;
    const word = sample >> 2;
    if (sample % (3 * blockPx) !== 0 || x + blockPx > width) return false;
    if ((words[word]! & words[word + 1]! & words[word + 2]!) !== -1) return false;
    const { labels, columnOf } = this.regions;
    const label = labels[rowStart + columnOf[x]!];
    for (let next = x + 1; next < x + blockPx; next++) {
      if (labels[rowStart + columnOf[next]!] !== label) return false;
    }
    return true;
  }
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
