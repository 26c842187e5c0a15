import fc from 'fast-check';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { enlargeMask } from '../../../pipeline/decode/enlarge-mask.ts';

/** The same without leaving anything out: libvips stretches every px. */
async function whole(png: Buffer, width: number, height: number): Promise<Buffer> {
  return sharp(png)
    .resize({ width, height, fit: 'fill', kernel: 'cubic' })
    .toColourspace('b-w')
    .raw()
    .toBuffer();
}

const px = fc.integer({ min: 1, max: 40 });
const shares = fc.tuple(
  fc.double({ min: 0, max: 1, noNaN: true }),
  fc.double({ min: 0, max: 1, noNaN: true }),
);

test('only the covered place is worked out, and the picture is the same', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.record({
        width: px,
        height: px,
        scale: fc.double({ min: 1, max: 6, noNaN: true }),
        across: shares,
        down: shares,
        value: fc.constantFrom(0, 1, 128, 255),
      }),
      async ({ width, height, scale, across, down, value }) => {
        const data = Buffer.alloc(width * height);
        const within = ([from, to]: readonly [number, number], at: number, size: number): boolean =>
          at >= Math.min(from, to) * size - 1 && at <= Math.max(from, to) * size;
        for (let at = 0; at < data.length; at += 1)
          if (within(across, at % width, width) && within(down, Math.floor(at / width), height))
            data[at] = value;
        const raw = { width, height, channels: 1 } as const;
        const png = await sharp(data, { raw }).toColourspace('b-w').png().toBuffer();
        const [wide, high] = [Math.round(width * scale), Math.round(height * scale)];
        const large = await enlargeMask(png, wide, high);
        expect(await sharp(large).metadata()).toMatchObject({ width: wide, height: high, channels: 1 });
        expect(await sharp(large).toColourspace('b-w').raw().toBuffer()).toEqual(
          await whole(png, wide, high),
        );
      },
    ),
    { numRuns: 60 },
  );
});
