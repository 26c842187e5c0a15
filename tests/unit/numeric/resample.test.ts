import '@tensorflow/tfjs-backend-cpu';
import { ready, setBackend, tensor3d, image as tfImage } from '@tensorflow/tfjs-core';
import fc from 'fast-check';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { type RgbPicture, resample } from '../../../pipeline/numeric/resample.ts';
import { seededRandom } from '../../helpers/random.ts';

function noise(width: number, height: number): RgbPicture {
  const random = seededRandom(width * 1000 + height);
  return { width, height, data: Uint8Array.from({ length: 3 * width * height }, () => 256 * random()) };
}

/** Shares of the source places, also of those outside, in one output place: the triangle of the docstring, written out. */
function shares(start: number, length: number, places: number, place: number): readonly [number, number][] {
  const reach = Math.max(length / places, 1);
  const centre = start + ((place + 0.5) * length) / places - 0.5;
  const near = Array.from({ length: 2 * Math.ceil(reach) + 2 }, (_, i) => Math.floor(centre - reach) + i);
  const weights = near.map((at) => Math.max(0, 1 - Math.abs(at - centre) / reach));
  const sum = weights.reduce((a, b) => a + b, 0);
  return near.map((at, i) => [at, weights[i]! / sum]);
}

const whole = ({ width, height }: RgbPicture) => ({ x: 0, y: 0, width, height });

describe('resample', () => {
  beforeAll(async () => {
    await setBackend('cpu');
    await ready();
  });

  it('leaves a picture of the wanted size as it is', () => {
    const picture = noise(7, 5);
    const result = resample(picture, whole(picture), 7, 5);
    for (const [index, value] of picture.data.entries()) expect(result[index]).toBeCloseTo(value, 4);
  });

  it('cuts out whole px exactly', () => {
    const picture = noise(9, 8);
    const result = resample(picture, { x: 3, y: 2, width: 4, height: 3 }, 4, 3);
    for (let y = 0; y < 3; y++) {
      for (let x = 0; x < 12; x++) {
        expect(result[12 * y + x]).toBeCloseTo(picture.data[3 * ((y + 2) * 9 + 3) + x]!, 4);
      }
    }
  });

  it('enlarges as TensorFlow.js does with half-pixel centres, away from the edges', async () => {
    const picture = noise(12, 10);
    const result = resample(picture, whole(picture), 30, 25);
    const expected = await tfImage
      .resizeBilinear(tensor3d([...picture.data], [10, 12, 3]), [25, 30], false, true)
      .data();
    for (let y = 3; y < 22; y++) {
      for (let x = 9; x < 81; x++) expect(result[90 * y + x]).toBeCloseTo(expected[90 * y + x]!, 3);
    }
  });

  it('reduces as libvips does with its linear kernel, within rounding', async () => {
    const picture = noise(120, 90);
    const [width, height] = [40, 30];
    const result = resample(picture, whole(picture), width, height);
    const expected = await sharp(picture.data, { raw: { width: 120, height: 90, channels: 3 } })
      .resize(width, height, { kernel: 'linear', fastShrinkOnLoad: false })
      .raw()
      .toBuffer();
    for (let y = 2; y < height - 2; y++) {
      for (let x = 6; x < 3 * (width - 2); x++) {
        // libvips rounds to 8 bits after each of its two passes.
        expect(Math.abs(result[3 * width * y + x]! - expected[3 * width * y + x]!)).toBeLessThan(1.5);
      }
    }
  });

  it('skips nothing when it reduces: one bright line keeps its light', () => {
    const data = new Uint8Array(3 * 64 * 64);
    for (let y = 0; y < 64; y++) data.fill(255, 3 * (64 * y + 29), 3 * (64 * y + 30));
    const result = resample({ width: 64, height: 64, data }, { x: 0, y: 0, width: 64, height: 64 }, 8, 8);
    let row = 0;
    for (let x = 0; x < 8; x++) row += result[3 * (8 * 4 + x)]!;
    // A line of 1 px among 64, spread over output px of 8.
    expect(row).toBeCloseTo(255 / 8, 3);
  });

  it('takes the fill colour outside the picture, in rows, columns and corners', () => {
    const picture: RgbPicture = { width: 4, height: 4, data: new Uint8Array(48).fill(200) };
    const result = resample(picture, { x: -4, y: -4, width: 12, height: 12 }, 12, 12, 50);
    expect(result[0]).toBeCloseTo(50, 4);
    expect(result[3 * (12 * 5 + 1)]).toBeCloseTo(50, 4);
    expect(result[3 * (12 * 1 + 5)]).toBeCloseTo(50, 4);
    expect(result[3 * (12 * 5 + 5)]).toBeCloseTo(200, 4);
    const beyond = resample(picture, { x: 100, y: 100, width: 5, height: 5 }, 3, 3, 7);
    for (const value of beyond) expect(value).toBeCloseTo(7, 4);
  });

  it('is the mean of the px under its triangle, for any region and size', () => {
    const side = fc.integer({ min: 1, max: 40 });
    const start = fc.double({ min: -20, max: 30, noNaN: true });
    const length = fc.double({ min: 0.5, max: 60, noNaN: true });
    fc.assert(
      fc.property(
        side,
        side,
        start,
        start,
        length,
        length,
        side,
        side,
        (w, h, x, y, wide, tall, to, down) => {
          const picture = noise(w, h);
          const result = resample(picture, { x, y, width: wide, height: tall }, to, down, 9);
          for (let i = 0; i < result.length; i++) {
            const [row, column, channel] = [Math.floor(i / 3 / to), Math.floor(i / 3) % to, i % 3];
            let expected = 0;
            for (const [sy, shareY] of shares(y, tall, down, row)) {
              for (const [sx, shareX] of shares(x, wide, to, column)) {
                const inside = sx >= 0 && sx < w && sy >= 0 && sy < h;
                const value = inside ? picture.data[3 * (sy * w + sx) + channel]! : 9;
                expected += shareX * shareY * value;
              }
            }
            expect(result[i]).toBeCloseTo(expected, 3);
          }
        },
      ),
      { numRuns: 60 },
    );
  });

  it('works on one px and refuses an empty region', () => {
    const picture: RgbPicture = { width: 1, height: 1, data: Uint8Array.of(1, 2, 3) };
    expect([...resample(picture, whole(picture), 1, 1)]).toEqual([1, 2, 3]);
    expect(() => resample(picture, { x: 0, y: 0, width: 0, height: 1 }, 1, 1)).toThrow(RangeError);
  });
});
