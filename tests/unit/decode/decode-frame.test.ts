import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { captureSchema, fileSchema } from '../../../pipeline/contracts/measurement/file.ts';
import { decodeFrame } from '../../../pipeline/decode/decode-frame.ts';
import { exifBlock, withExif } from '../../helpers/exif-maker.ts';
import {
  descriptionV4,
  gammaCurve,
  iccProfile,
  matrixProfile,
  tiffWithProfile,
  withProfile,
} from '../../helpers/icc-maker.ts';
import { jpeg, pattern, picture, size } from '../../helpers/pictures.ts';

const { width, height } = size;

function pixel(data: ArrayLike<number>, x: number, y: number, across: number): readonly number[] {
  return [0, 1, 2].map((i) => data[3 * (y * across + x) + i]!);
}

describe('what comes out', () => {
  it('shares one array between sRGB and the file encoding where there is nothing to convert', async () => {
    for (const file of [
      await jpeg(),
      withProfile(await jpeg(), matrixProfile('srgb', 'sRGB IEC61966-2.1')),
    ]) {
      const { image } = await decodeFrame(file);
      expect(image.encoded.data).toBe(image.srgb.data);
      expect(image.srgb.data.length).toBe(3 * width * height);
    }
  });

  it('gives the very px of a lossless file', async () => {
    for (const file of [
      await picture().png().toBuffer(),
      await picture().tiff({ compression: 'lzw' }).toBuffer(),
      await picture().webp({ lossless: true }).toBuffer(),
    ]) {
      const { image } = await decodeFrame(file);
      expect(Buffer.compare(image.srgb.data, pattern())).toBe(0);
    }
  });

  it('facts and capture fit their schemas', async () => {
    const { file, capture } = await decodeFrame(await jpeg());
    expect(fileSchema.parse(file)).toEqual(file);
    expect(captureSchema.parse(capture)).toEqual(capture);
    expect(file).toEqual({
      format: 'jpeg',
      bytes: (await jpeg()).length,
      width,
      height,
      bitsPerChannel: 8,
      colourProfile: null,
      colourSpace: 'untagged',
      profileNameAgrees: null,
      profileProblem: null,
      cameraColourSpace: null,
      alpha: false,
      pages: 1,
    });
    expect(Object.values(capture).every((value) => value === null)).toBe(true);
  });

  it('a picture of one px is read', async () => {
    const { image, file } = await decodeFrame(await picture(1, 1).png().toBuffer());
    expect([file.width, file.height, image.analysis.width, image.srgb.data.length]).toEqual([1, 1, 1, 3]);
  });

  it('reduces to 1280 px and keeps the mean; smaller pictures stay as they are', async () => {
    const { image } = await decodeFrame(await picture(2000, 900).png().toBuffer());
    expect([image.analysis.width, image.analysis.height]).toEqual([1280, 576]);
    const mean = (data: Uint8Array) => data.reduce((a, b) => a + b, 0) / data.length;
    expect(Math.abs(mean(image.analysis.data) - mean(image.srgb.data))).toBeLessThan(0.3);
    const small = await decodeFrame(await jpeg());
    expect(small.image.analysis).toBe(small.image.srgb);
  });

  it('the reduced picture averages and does not ring', async () => {
    // Columns of 0 and 255 in turn come out as one grey away from the sides; an edge stays between its two sides.
    const columns = Uint8Array.from({ length: 3200 * 40 * 3 }, (_, i) =>
      Math.floor(i / 3) % 2 === 0 ? 0 : 255,
    );
    const edge = Uint8Array.from({ length: 3200 * 40 * 3 }, (_, i) =>
      Math.floor(i / 3) % 3200 < 1600 ? 60 : 200,
    );
    const reduce = async (data: Uint8Array) => {
      const file = await sharp(data, { raw: { width: 3200, height: 40, channels: 3 } })
        .png()
        .toBuffer();
      return (await decodeFrame(file)).image.analysis;
    };
    const grey = await reduce(columns);
    const inner = grey.data.slice(3 * 10, 3 * (grey.width - 10));
    expect([Math.min(...inner) > 100, Math.max(...inner) < 155]).toEqual([true, true]);
    const step = await reduce(edge);
    expect([Math.min(...step.data), Math.max(...step.data)]).toEqual([60, 200]);
  });

  it('gives the same bytes twice and leaves its input alone', async () => {
    const file = await picture(2000, 900).jpeg().toBuffer();
    const before = Buffer.from(file);
    const [a, b] = [await decodeFrame(file), await decodeFrame(file)];
    expect(Buffer.compare(a.image.analysis.data, b.image.analysis.data)).toBe(0);
    expect(Buffer.compare(a.image.srgb.data, b.image.srgb.data)).toBe(0);
    expect(Buffer.compare(file, before)).toBe(0);
  });
});

describe('orientation (Exif 2.32, field 274), applied once', () => {
  /** Where the stored top left px lands in the upright frame: [right?, bottom?], and whether sides change places. */
  const places: readonly (readonly [number, boolean, boolean, boolean])[] = [
    [1, false, false, false],
    [2, true, false, false],
    [3, true, true, false],
    [4, false, true, false],
    [5, false, false, true],
    [6, true, false, true],
    [7, true, true, true],
    [8, false, true, true],
  ];
  it.each(places)('%i', async (orientation, right, bottom, turned) => {
    const stored = await jpeg();
    const file = withExif(stored, exifBlock({ image: { 274: { short: [orientation] } } }));
    const { image, file: facts } = await decodeFrame(file);
    const [across, down] = turned ? [height, width] : [width, height];
    expect([facts.width, facts.height]).toEqual([across, down]);
    const plain = (await decodeFrame(stored)).image.srgb.data;
    const corner = pixel(image.srgb.data, right ? across - 1 : 0, bottom ? down - 1 : 0, across);
    expect(corner).toEqual(pixel(plain, 0, 0, width));
    // The stored top right px tells a turn from a mirroring.
    const [x, y] = turned
      ? [right ? across - 1 : 0, bottom ? 0 : down - 1]
      : [right ? 0 : across - 1, bottom ? down - 1 : 0];
    expect(pixel(image.srgb.data, x, y, across)).toEqual(pixel(plain, width - 1, 0, width));
  });

  it('an orientation that does not exist leaves the frame as it is', async () => {
    const file = withExif(await jpeg(), exifBlock({ image: { 274: { short: [99] } } }));
    expect((await decodeFrame(file)).file.width).toBe(width);
  });
});

describe('kinds of px', () => {
  const of = async (file: Buffer) => decodeFrame(file);

  it('16-bit TIFF and PNG: the file encoding at 16 bit, sRGB rounded to 8', async () => {
    const values = Uint16Array.from(pattern(), (v, i) => Math.min(65535, v * 257 + (i % 200)));
    const deep = sharp(values, { raw: { width, height, channels: 3 } }).toColourspace('rgb16');
    for (const file of [
      await deep.clone().tiff({ compression: 'none' }).toBuffer(),
      await deep.clone().png().toBuffer(),
    ]) {
      const { image, file: facts } = await of(file);
      expect([facts.bitsPerChannel, image.encoded.ceiling]).toEqual([16, 65535]);
      expect([...image.encoded.data]).toEqual([...values]);
      expect([...image.srgb.data]).toEqual([...values].map((v) => Math.round(v / 257)));
    }
  });

  it('alpha is laid on white', async () => {
    const half = sharp({
      create: { width: 4, height: 4, channels: 4, background: { r: 0, g: 0, b: 0, alpha: 0 } },
    });
    const { image, file } = await of(await half.png().toBuffer());
    expect(file.alpha).toBe(true);
    expect(new Set(image.srgb.data)).toEqual(new Set([255]));
  });

  it('alpha at 16 bit is laid on white of 65535', async () => {
    // Clear, half and opaque: black at alpha 32768 leaves 65535 - 32768 = 32767 of the white.
    const px = Uint16Array.of(9, 9, 9, 0, 0, 0, 0, 32768, 1234, 5678, 9999, 65535);
    const file = await sharp(px, { raw: { width: 3, height: 1, channels: 4 } })
      .toColourspace('rgb16')
      .png()
      .toBuffer();
    const { image } = await of(file);
    expect([...image.encoded.data]).toEqual([65535, 65535, 65535, 32767, 32767, 32767, 1234, 5678, 9999]);
  });

  it('palette PNG and GIF', async () => {
    for (const file of [
      await picture().png({ palette: true }).toBuffer(),
      await picture().gif().toBuffer(),
    ]) {
      const { image, file: facts } = await of(file);
      expect([facts.bitsPerChannel, image.srgb.data.length]).toEqual([8, 3 * width * height]);
    }
  });

  it('grey is spread over three channels; a grey profile bends it', async () => {
    const grey = await sharp(Uint8Array.of(0, 128, 255, 64), { raw: { width: 4, height: 1, channels: 1 } })
      .toColourspace('b-w')
      .tiff({ compression: 'none' })
      .toBuffer();
    const plain = await of(grey);
    expect(plain.file.colourSpace).toBe('grey');
    expect([...plain.image.srgb.data]).toEqual([0, 0, 0, 128, 128, 128, 255, 255, 255, 64, 64, 64]);
    const profile = iccProfile({
      space: 'GRAY',
      tags: { desc: descriptionV4('Grey 1.8'), kTRC: gammaCurve(1.8) },
    });
    const bent = await of(tiffWithProfile(grey, profile));
    expect(bent.file).toMatchObject({ colourSpace: 'grey', colourProfile: 'Grey 1.8', profileProblem: null });
    expect(bent.image.encoded.data[3]).toBe(128);
    // 0.50196^1.8 = 0.28925 of linear light; sRGB encodes it as 0.5742, code 146.4 (worked by hand).
    expect(bent.image.srgb.data[3]).toBe(146);
  });

  it('CMYK JPEG through the image library', async () => {
    const file = await picture().toColourspace('cmyk').jpeg({ quality: 100 }).toBuffer();
    const { image, file: facts } = await of(file);
    expect(facts).toMatchObject({ colourSpace: 'cmyk', colourProfile: null, profileProblem: null });
    expect(image.srgb.data.length).toBe(3 * width * height);
    expect(image.encoded.data).toBe(image.srgb.data);
    const [first, last] = [
      pixel(image.srgb.data, 0, 0, width),
      pixel(image.srgb.data, width - 1, height - 1, width),
    ];
    expect(first[0]! + first[1]!).toBeLessThan(last[0]! + last[1]!);
  });

  it('animated WebP: the first picture, and how many there are', async () => {
    const file = await sharp([await picture().png().toBuffer(), await picture().negate().png().toBuffer()], {
      join: { animated: true },
    })
      .webp({ lossless: true, delay: [100, 100] })
      .toBuffer();
    const { image, file: facts } = await of(file);
    expect([facts.format, facts.pages, facts.height]).toEqual(['webp', 2, height]);
    expect(Buffer.compare(image.srgb.data, pattern())).toBe(0);
  });

  it('AVIF at 8, 10 and 12 bit: white reaches the ceiling', async () => {
    const values = new Uint16Array(64 * 64 * 3).fill(65535);
    const white = sharp(values, { raw: { width: 64, height: 64, channels: 3 } }).toColourspace('rgb16');
    for (const bitdepth of [8, 10, 12] as const) {
      const { image, file } = await of(
        await white.clone().avif({ lossless: true, effort: 0, bitdepth }).toBuffer(),
      );
      expect([file.format, file.bitsPerChannel]).toEqual(['avif', bitdepth]);
      expect(new Set(image.encoded.data)).toEqual(new Set([image.encoded.ceiling]));
      expect(new Set(image.srgb.data)).toEqual(new Set([255]));
    }
  });
});
