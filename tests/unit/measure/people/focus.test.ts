import fc from 'fast-check';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { relativeFocus } from '../../../../pipeline/measure/people/focus.ts';

const [width, height] = [64, 48];

/** Black and white stripes 8 px wide, blurred by libvips with a Gaussian. */
async function stripes(sigma: number) {
  const data = Buffer.alloc(3 * width * height);
  for (let at = 0; at < width * height; at++) data.fill((at % width) % 16 < 8 ? 20 : 230, 3 * at, 3 * at + 3);
  const drawn = sharp(data, { raw: { width, height, channels: 3 } });
  return { width, height, data: await (sigma > 0 ? drawn.blur(sigma) : drawn).raw().toBuffer() };
}

/** The same figure by sorting everything: the mean of the steepest tenth at full over that at a quarter of the resolution. */
function bySorting(luma: (x: number, y: number) => number): number {
  const steepest = (at: (x: number, y: number) => number, columns: number, rows: number) => {
    const slopes = Array.from({ length: (columns - 1) * (rows - 1) }, (_, index) => {
      const [x, y] = [index % (columns - 1), Math.floor(index / (columns - 1))];
      return Math.hypot(at(x + 1, y) - at(x, y), at(x, y + 1) - at(x, y));
    }).sort((a, b) => a - b);
    const tenth = slopes.slice(Math.floor(slopes.length * 0.9));
    return tenth.reduce((sum, slope) => sum + slope, 0) / tenth.length;
  };
  const coarse = (x: number, y: number) => {
    let sum = 0;
    for (let index = 0; index < 16; index++) sum += luma(4 * x + (index % 4), 4 * y + (index >> 2));
    return sum / 16;
  };
  return steepest(luma, width, height) / steepest(coarse, width / 4, height / 4);
}

describe('relative focus', () => {
  it('falls with every step of blur', async () => {
    const focus = [];
    for (const sigma of [0, 1, 2, 4]) focus.push(relativeFocus(await stripes(sigma), [0, 0, width, height])!);
    for (let step = 1; step < focus.length; step++) expect(focus[step]).toBeLessThan(focus[step - 1]!);
  });

  it('is the steepest tenth of all slopes, whatever the picture', () => {
    const levels = fc.uint8Array({ minLength: width * height, maxLength: width * height });
    fc.assert(
      fc.property(levels, fc.integer({ min: 1, max: 255 }), (grey, step) => {
        const data = new Uint8Array(3 * width * height);
        // Coarse steps give many equal slopes, which have to be counted right where the tenth is cut.
        const level = (at: number) => Math.floor(grey[at]! / step) * step;
        for (let at = 0; at < width * height; at++) data.fill(level(at), 3 * at, 3 * at + 3);
        const focus = relativeFocus({ width, height, data }, [0, 0, width, height]);
        const expected = bySorting((x, y) => level(y * width + x));
        if (Number.isNaN(expected)) expect(focus).toBeNull();
        else expect(focus).toBeCloseTo(expected, 4);
      }),
      { numRuns: 30 },
    );
  });

  it('is not told of a box too small or without an edge', async () => {
    expect(relativeFocus(await stripes(0), [0, 0, 15, 48])).toBeNull();
    const plain = { width, height, data: new Uint8Array(3 * width * height).fill(90) };
    expect(relativeFocus(plain, [0, 0, width, height])).toBeNull();
  });
});
