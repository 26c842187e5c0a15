import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cutLuma } from '../../../pipeline/numeric/luma.ts';
import { seededRandom } from '../../helpers/random.ts';

/** Rec. ITU-R BT.709-6, 3.2. */
const weights = [0.2126, 0.7152, 0.0722] as const;

describe('luma of a rectangle', () => {
  it.each([
    ['8-bit', Uint8Array],
    ['floating point', Float32Array],
  ] as const)('is the weighted sum of each px of %s RGB, to the last bit', (_, Samples) => {
    const side = fc.integer({ min: 1, max: 60 });
    const edge = fc.double({ min: -20, max: 80, noNaN: true });
    fc.assert(
      fc.property(side, side, edge, edge, edge, edge, (width, height, left, upper, right, lower) => {
        const random = seededRandom(100 * width + height);
        const data = new Samples(3 * width * height).map(() => 256 * random());
        const tile = cutLuma({ width, height, data }, 3, left, upper, right, lower);
        expect(tile.width).toBe(Math.max(0, Math.min(width, Math.ceil(right)) - tile.x));
        expect(tile.height).toBe(Math.max(0, Math.min(height, Math.ceil(lower)) - tile.y));
        expect(tile.data.length).toBe(tile.width * tile.height);
        for (const [i, luma] of tile.data.entries()) {
          const [x, y] = [tile.x + (i % tile.width), tile.y + Math.floor(i / tile.width)];
          const [r, g, b] = data.subarray(3 * (y * width + x));
          expect(luma).toBe(Math.fround(weights[0] * r! + weights[1] * g! + weights[2] * b!));
        }
      }),
      { numRuns: 200 },
    );
  });

  it('is the same for a picture of which only a part lies in the memory of the kernels at a time', () => {
    const [width, height] = [700, 300];
    const random = seededRandom(3);
    const data = Uint8Array.from({ length: 3 * width * height }, () => 256 * random());
    const pixels = { width, height, data };
    const other = { width, height, data: Float32Array.from(data) };
    const [tile, expected] = [pixels, other].map((all) => cutLuma(all, 3, 0, 0, width, height).data);
    expect(Buffer.compare(Buffer.from(tile!.buffer), Buffer.from(expected!.buffer))).toBe(0);
  });
});
