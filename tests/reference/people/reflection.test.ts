import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { decodeFrame } from '../../../pipeline/decode/decode-frame.ts';
import { mirrorLikeness } from '../../../pipeline/measure/people/reflection.ts';
import { findPeople } from '../../../pipeline/measure/people.ts';

const sample = (frame: string) =>
  fileURLToPath(new URL(`../../../samples/delivery/${frame}.jpg`, import.meta.url));
const [width, height] = [600, 900];

/** A rendered model on the left and, on the right, what is laid there: px of one picture of 1200 x 900. */
async function besides(frame: string, right: Buffer) {
  const left = await sharp(sample(frame)).resize({ width, height }).toBuffer();
  const both = sharp({ create: { width: 2 * width, height, channels: 3, background: '#888' } }).composite([
    { input: left, left: 0, top: 0 },
    { input: right, left: width, top: 0 },
  ]);
  return (await decodeFrame(await both.png().toBuffer())).image;
}

/** The library's own mirroring and levels, not ours. */
const mirrorImage = (frame: string, gain: number, offset: number) =>
  sharp(sample(frame)).resize({ width, height }).flop().linear(gain, offset).toBuffer();

describe('a mirror image of the model', () => {
  it.each([
    ['linen-shift/a-0412', 1, 0],
    ['linen-shift/a-0426', 0.6, 60],
  ] as const)(
    '%s at a contrast of %d is no second model, and in the background a note',
    async (frame, gain, offset) => {
      const image = await besides(frame, await mirrorImage(frame, gain, offset));
      const { subjects, background } = await findPeople(image);
      expect(subjects).toHaveLength(1);
      expect(background.map(({ mayBe }) => mayBe)).toContain('a reflection of the model');
    },
  );

  it('is told from another person beside her', async () => {
    const other = await sharp(sample('tea-dress/a-0461')).resize({ width, height }).toBuffer();
    const { subjects, background } = await findPeople(await besides('linen-shift/a-0412', other));
    expect(subjects.length + background.length).toBeGreaterThan(1);
    expect(background.map(({ mayBe }) => mayBe)).not.toContain('a reflection of the model');
  });

  it('correlates fully whatever its contrast, and a plain wall not at all', async () => {
    const image = await besides('linen-shift/a-0412', await mirrorImage('linen-shift/a-0412', 0.5, 40));
    const model = [150, 50, 320, 810] as const;
    const mirrored = [2 * width - 150 - 320, 50, 320, 810] as const;
    expect(mirrorLikeness(image.analysis, model, mirrored)).toBeGreaterThan(0.98);
    expect(mirrorLikeness(image.analysis, model, model)).toBeLessThan(0.9);
    const wall = { width: 80, height: 60, data: new Uint8Array(3 * 4800).fill(90) };
    expect(mirrorLikeness(wall, [10, 10, 20, 40], [45, 10, 20, 40])).toBe(0);
  });
});
