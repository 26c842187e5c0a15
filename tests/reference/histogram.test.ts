import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { histogramBins } from '../../pipeline/contracts/measurement/histogram.ts';
import { histogramOf } from '../../pipeline/measure/exposure/histogram.ts';
import { seededRandom } from '../../pipeline/numeric/statistics.ts';
import { frameOf } from '../helpers/made-frame.ts';

/** Px of one channel up to a code, counted by libvips (through sharp): a threshold makes them 0 and the others 255. */
async function upTo(data: Uint8Array, width: number, height: number, channel: number, code: number) {
  const bands = await sharp(Buffer.from(data), { raw: { width, height, channels: 3 } })
    .threshold(code + 1, { grayscale: false })
    .raw()
    .toBuffer();
  const { channels } = await sharp(bands, { raw: { width, height, channels: 3 } }).stats();
  return width * height - channels[channel]!.sum / 255;
}

describe('levels of a frame', () => {
  const random = seededRandom(5);
  // An odd number of px, and the three channels apart from each other.
  const [width, height] = [321, 201];
  const data = Uint8Array.from({ length: 3 * width * height }, (_, i) =>
    Math.min(255, Math.floor(random() ** (1 + (i % 3)) * 270)),
  );
  const made = histogramOf(frameOf({ width, height, data }));

  it('hold every px once, in every channel', () => {
    for (const { bins } of Object.values(made)) {
      expect(bins.length).toBe(histogramBins);
      expect(bins.reduce((a, b) => a + b)).toBe(width * height);
    }
  });

  it.each([
    [0, 'red'],
    [1, 'green'],
    [2, 'blue'],
  ] as const)('channel %i are those that libvips counts', async (channel, name) => {
    const { bins, atFloor, atCeiling } = made[name];
    for (const bin of [0, 1, 17, 40, 62])
      expect(bins.slice(0, bin + 1).reduce((a, b) => a + b)).toBe(
        await upTo(data, width, height, channel, 4 * bin + 3),
      );
    expect(atFloor).toBe(await upTo(data, width, height, channel, 0));
    expect(width * height - atCeiling).toBe(await upTo(data, width, height, channel, 254));
    expect(atCeiling).toBeGreaterThan(0);
  });

  it('of a large frame are those of rows and columns spread over all of it', () => {
    const size = { width: 2000, height: 6000 };
    // The lower third at the ceiling.
    const bytes = new Uint8Array(3 * size.width * size.height).fill(255, 3 * size.width * 4000);
    const { bins, atFloor, atCeiling } = histogramOf(frameOf({ ...size, data: bytes })).green;
    const counted = bins.reduce((a, b) => a + b);
    expect(counted).toBeGreaterThan(1_000_000);
    expect([atFloor / counted, atCeiling / counted]).toEqual([
      expect.closeTo(2 / 3, 3),
      expect.closeTo(1 / 3, 3),
    ]);
  });

  it('of 16-bit files tell the two ends from their neighbours', () => {
    const codes = Uint16Array.from([0, 1, 1023, 1024, 65_534, 65_535]);
    const srgb = { width: 2, height: 1, data: new Uint8Array(6) };
    const { red, green, blue } = histogramOf({ srgb, encoded: { data: codes, ceiling: 65_535 } });
    expect([red.atFloor, red.bins[0], red.bins[1]]).toEqual([1, 1, 1]);
    expect([green.atFloor, green.bins[0], green.atCeiling, green.bins[63]]).toEqual([0, 1, 0, 1]);
    expect([blue.bins[0], blue.atCeiling, blue.bins[63]]).toEqual([1, 1, 1]);
  });
});
