import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { countRootLuminance, luminanceByCell } from '../../../pipeline/numeric/colour/luminance.ts';
import { luminanceOfByte } from '../../../pipeline/numeric/colour/srgb.ts';
import { seededRandom } from '../../helpers/random.ts';

const side = fc.integer({ min: 1, max: 30 });

function noise(width: number, height: number, seed: number) {
  const random = seededRandom(seed);
  return { width, height, data: Uint8Array.from({ length: 3 * width * height }, () => 256 * random()) };
}

function luminanceAt(data: Uint8Array, px: number): number {
  const [red, green, blue] = luminanceOfByte;
  return red[data[3 * px]!]! + green[data[3 * px + 1]!]! + blue[data[3 * px + 2]!]!;
}

describe('luminance of a picture, to the last bit as in plain loops', () => {
  it('adds up by cells', () => {
    fc.assert(
      fc.property(side, side, fc.integer({ min: 1, max: 5 }), fc.nat(), (width, height, cells, seed) => {
        const picture = noise(width, height, seed);
        const cellOfX = Int32Array.from({ length: width }, (_, x) => x % cells);
        const cellOfY = Int32Array.from({ length: height }, (_, y) => cells * (y % 3));
        const expected = new Float64Array(3 * cells);
        for (let px = 0; px < width * height; px++) {
          expected[cellOfX[px % width]! + cellOfY[Math.floor(px / width)]!]! += luminanceAt(picture.data, px);
        }
        expect([...luminanceByCell(picture, cellOfX, cellOfY, 3 * cells)]).toEqual([...expected]);
      }),
    );
  });

  it('is counted by its root under a mask', () => {
    fc.assert(
      fc.property(side, side, fc.integer({ min: 1, max: 3 }), fc.nat(), (width, height, rowStep, seed) => {
        const picture = noise(width, height, seed);
        const random = seededRandom(seed + 1);
        const mask = Uint8Array.from({ length: width * height }, () => 256 * random());
        const expected = new Int32Array(65);
        for (let px = 0; px < width * height; px++) {
          if (mask[px]! < 128 || Math.floor(px / width) % rowStep !== 0) continue;
          expected[Math.floor(64 * Math.sqrt(luminanceAt(picture.data, px)) + 0.5)]!++;
        }
        expect([...countRootLuminance(picture, mask, 128, rowStep, 64)]).toEqual([...expected]);
      }),
    );
  });
});
