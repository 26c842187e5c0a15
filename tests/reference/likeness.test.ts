import fc from 'fast-check';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { measureLikeness } from '../../pipeline/measure/likeness.ts';
import { hammingDistance } from '../../pipeline/numeric/hamming.ts';
import { seededRandom } from '../../pipeline/numeric/statistics.ts';
import { type Codes, frameOf, madeFrame } from '../helpers/made-frame.ts';

const hash = (width: number, height: number, paint: (x: number, y: number) => Codes) =>
  measureLikeness(madeFrame(width, height, paint)).dhash64;
const grey = (code: number): Codes => [code, code, code];

/** Soft random patches, so that there is something to recognise. */
function scene(seed: number): (x: number, y: number) => number {
  const random = seededRandom(seed);
  const waves = Array.from({ length: 12 }, () => [1 + 6 * random(), 1 + 6 * random(), 7 * random()] as const);
  return (x, y) => {
    const sum = waves.reduce(
      (total, [fx, fy, phase]) => total + Math.sin(fx * x * 6 + fy * y * 6 + phase),
      0,
    );
    return Math.min(255, Math.max(0, 128 + 18 * sum));
  };
}

describe('difference hash: definition (grey, 9 x 8 cells, sign of the horizontal difference)', () => {
  it('a ramp that rises to the right sets all 64 bits, a falling one none', () => {
    const rising = hash(90, 80, (x) => grey(2 * x));
    const falling = hash(90, 80, (x) => grey(200 - 2 * x));
    expect(rising).toBe('ffffffffffffffff');
    expect(falling).toBe('0000000000000000');
    expect(hammingDistance(rising, falling)).toBe(64);
  });

  it('a vertical ramp and a blank picture have no horizontal difference', () => {
    expect(hash(90, 80, (_, y) => grey(2 * y))).toBe('0000000000000000');
    expect(hash(50, 50, () => grey(90))).toBe('0000000000000000');
  });

  it('goes row by row from the highest bit', () => {
    /** Only the step from the first to the second cell of the first row rises. */
    expect(hash(90, 80, (x, y) => grey(y < 10 && x >= 10 ? 200 : 0))).toBe('8000000000000000');
    expect(hash(90, 80, (x, y) => grey(y >= 70 && x >= 80 ? 200 : 0))).toBe('0000000000000001');
  });

  it('weighs channels as luma does (ITU-R BT.709): green outweighs red and blue together', () => {
    expect(hash(90, 80, (x) => [200 - 2 * x, 2 * x, 200 - 2 * x])).toBe('ffffffffffffffff');
  });

  it('of a picture with fewer px than cells', () => {
    expect(hash(1, 1, () => grey(77))).toBe('0000000000000000');
    expect(hash(2, 1, (x) => grey(x * 200))).toMatch(/^[0-9a-f]{16}$/);
  });
});

describe('difference hash: what it is for', () => {
  it('inverting turns every bit, but for ties', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), (seed) => {
        const paint = scene(seed);
        const there = hash(90, 80, (x, y) => grey(Math.round(paint(x / 90, y / 80))));
        const inverse = hash(90, 80, (x, y) => grey(255 - Math.round(paint(x / 90, y / 80))));
        expect(hammingDistance(there, inverse)).toBeGreaterThanOrEqual(62);
      }),
      { numRuns: 20 },
    );
  });

  /** 64-bit practice, no standard: up to 10 bits a likely variant, beyond a different picture. */
  it('keeps within a few bits under scaling, JPEG and exposure; other scenes are far', async () => {
    for (const seed of [1, 2, 3]) {
      const paint = scene(seed);
      const frame = madeFrame(720, 480, (x, y) => grey(Math.round(paint(x / 720, y / 480))));
      const own = measureLikeness(frame).dhash64;
      const raw = { width: 720, height: 480, channels: 3 as const };
      const { data, info } = await sharp(
        await sharp(Buffer.from(frame.srgb.data), { raw })
          .linear(0.8, 10)
          .resize(333)
          .jpeg({ quality: 70 })
          .toBuffer(),
      )
        .raw()
        .toBuffer({ resolveWithObject: true });
      const again = measureLikeness(frameOf({ width: info.width, height: info.height, data })).dhash64;
      expect(hammingDistance(own, again)).toBeLessThanOrEqual(4);
      const other = scene(seed + 100);
      const apart = hash(720, 480, (x, y) => grey(Math.round(other(x / 720, y / 480))));
      expect(hammingDistance(own, apart)).toBeGreaterThan(10);
    }
  });
});
