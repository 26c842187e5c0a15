import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { decodeFrame } from '../../../pipeline/decode/decode-frame.ts';
import { cropNative, encodeJpeg, thumbnail } from '../../../pipeline/decode/pictures.ts';
import { exifBlock, withExif } from '../../helpers/exif-maker.ts';
import { matrixProfile, withProfile } from '../../helpers/icc-maker.ts';
import { jpeg, picture } from '../../helpers/pictures.ts';

async function big() {
  return (await decodeFrame(await picture(1600, 1000).png().toBuffer())).image;
}

describe('pictures for documents', () => {
  it('carry no metadata of the frame', async () => {
    const exif = exifBlock({ image: { 271: { ascii: 'Maker' } } });
    const source = withExif(withProfile(await jpeg(), matrixProfile('adobe-rgb', 'Adobe RGB (1998)')), exif);
    const { image } = await decodeFrame(source);
    for (const file of [
      await encodeJpeg(image.srgb),
      await thumbnail(image, 20),
      (await cropNative(image, [0, 0, 1, 1], 30)).jpeg,
    ]) {
      const head = await sharp(file).metadata();
      expect([head.format, head.exif, head.icc, head.xmp]).toEqual(['jpeg', undefined, undefined, undefined]);
      expect(file.includes('Maker')).toBe(false);
    }
  });

  it('thumbnail fits the long edge and is never enlarged', async () => {
    const image = await big();
    for (const [edge, width, height] of [
      [160, 160, 100],
      [1280, 1280, 800],
      [1500, 1500, 938],
      [5000, 1600, 1000],
    ] as const) {
      const head = await sharp(await thumbnail(image, edge)).metadata();
      expect([head.width, head.height]).toEqual([width, height]);
    }
  });

  it('a crop shows the px of the frame one for one', async () => {
    const image = await big();
    const crop = await cropNative(image, [0.25, 0.5, 0.05, 0.05], 500, 100);
    expect([crop.x, crop.y, crop.width, crop.height]).toEqual([400, 500, 80, 50]);
    const { data } = await sharp(crop.jpeg).raw().toBuffer({ resolveWithObject: true });
    let worst = 0;
    for (let y = 0; y < 50; y++) {
      for (let i = 0; i < 240; i++) {
        const there = image.srgb.data[3 * ((500 + y) * 1600 + 400) + i]!;
        worst = Math.max(worst, Math.abs(there - data[y * 240 + i]!));
      }
    }
    expect(worst).toBeLessThanOrEqual(4);
  });

  it('a large box shows its middle, and a box at the edge is moved inside', async () => {
    const image = await big();
    expect(await cropNative(image, [0, 0, 1, 1], 200)).toMatchObject({
      x: 700,
      y: 400,
      width: 200,
      height: 200,
    });
    expect(await cropNative(image, [0.98, 0.98, 0.1, 0.1], 200)).toMatchObject({
      x: 1440,
      y: 900,
      width: 160,
      height: 100,
    });
    expect(await cropNative(image, [0.5, 0.5, 0, 0], 200)).toMatchObject({ width: 1, height: 1 });
  });
});
