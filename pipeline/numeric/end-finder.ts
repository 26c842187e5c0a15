import { bytesAt, kernels, Room } from '../kernels/kernels.ts';

/** Samples looked at together: 16 px of RGB. */
export const groupSamples = 48;
/** Samples that lie in the kernels' memory at a time: few enough to stay near the processor. */
const bandSamples = 1024 * groupSamples;

/**
 * Finds the places of a picture where samples reach an end of their range, 0 or 255. No other kernel may run meanwhile: they share
 * their memory.
 */
export class EndFinder {
  private readonly samples: Uint8Array;
  private readonly band: number;
  private readonly bytes: Uint8Array;
  /** First sample in the band and first one behind it. */
  private start = 0;
  private stop = 0;

  constructor(samples: Uint8Array) {
    this.samples = samples;
    this.band = new Room().take(bandSamples + groupSamples);
    this.bytes = bytesAt(this.band, bandSamples + groupSamples);
  }

  /** @returns where the next group from sample `from` on that holds an end begins; the number of samples where none does. */
  next(from: number): number {
    const { length } = this.samples;
    while (from < length) {
      if (from >= this.stop) this.fill(from);
      const end = this.band + this.stop - this.start;
      const found = kernels.findEnd(this.band + from - this.start, end);
      if (found < end) return this.start + found - this.band;
      from = this.stop;
    }
    return length;
  }

  private fill(from: number): void {
    this.start = from;
    this.stop = Math.min(this.samples.length, from + bandSamples);
    this.bytes.set(this.samples.subarray(from, this.stop));
    // What lies behind the last sample is no end.
    const behind = this.stop - from;
    this.bytes.fill(1, behind, behind + groupSamples);
  }
}
