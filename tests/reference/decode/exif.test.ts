/**
 * Capture facts from EXIF blocks built by hand after CIPA DC-008 (Exif 2.32): field numbers, types and meanings of its
 * table 4; flash values of its Flash note; DCF 2.0 for the option file.
 */
import fc from 'fast-check';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { decodeFrame } from '../../../pipeline/decode/decode-frame.ts';
import { type Directory, type ExifParts, exifBlock, withExif } from '../../helpers/exif-maker.ts';
import { jpeg } from '../../helpers/pictures.ts';

async function captured(parts: ExifParts) {
  const { capture, file } = await decodeFrame(withExif(await jpeg(), exifBlock(parts)));
  return { ...capture, cameraColourSpace: file.cameraColourSpace };
}
const exif = (fields: Directory) => captured({ exif: fields });

describe('a whole block', () => {
  const parts: ExifParts = {
    image: { 271: { ascii: 'Maker' }, 272: { ascii: 'Body 5' } },
    exif: {
      33434: { rational: [[1, 200]] },
      33437: { rational: [[28, 10]] },
      34855: { short: [400] },
      36867: { ascii: '2024:05:01 10:20:30' },
      36881: { ascii: '+02:00' },
      37521: { ascii: '05' },
      37385: { short: [0x19] },
      37386: { rational: [[85, 1]] },
      40961: { short: [1] },
      41987: { short: [1] },
      41989: { short: [128] },
      42033: { ascii: '0012345' },
      42036: { ascii: '85 mm f/1.8' },
    },
  };
  const expected = {
    takenAt: '2024-05-01T10:20:30.05+02:00',
    make: 'Maker',
    model: 'Body 5',
    serial: '0012345',
    lens: '85 mm f/1.8',
    fNumber: 2.8,
    exposureTimeS: 0.005,
    iso: 400,
    focalLengthMm: 85,
    focalLength35mm: 128,
    flashFired: true,
    whiteBalance: 'manual',
    colourTemperatureK: null,
    cameraColourSpace: 'srgb',
  };

  it.each([false, true])('in a JPEG, big-endian %s', async (bigEndian) => {
    expect(await captured({ ...parts, bigEndian })).toEqual(expected);
  });

  it('in PNG, WebP and AVIF, written by libvips', async () => {
    const source = withExif(await jpeg(), exifBlock(parts));
    for (const file of [
      await sharp(source).keepExif().png().toBuffer(),
      await sharp(source).keepExif().webp().toBuffer(),
      await sharp(source).keepExif().avif({ effort: 0 }).toBuffer(),
    ]) {
      const { capture } = await decodeFrame(file);
      expect(capture).toMatchObject({
        takenAt: expected.takenAt,
        serial: '0012345',
        fNumber: 2.8,
        flashFired: true,
      });
    }
  });

  it('in a TIFF, whose own directory holds the picture', async () => {
    const strip = Buffer.alloc(12, 128);
    const image = (offset: number): Directory => ({
      ...parts.image,
      256: { short: [2] },
      257: { short: [2] },
      258: { short: [8, 8, 8] },
      259: { short: [1] },
      262: { short: [2] },
      273: { long: [offset] },
      277: { short: [3] },
      278: { short: [2] },
      279: { long: [12] },
    });
    const block = (offset: number) => exifBlock({ image: image(offset), exif: parts.exif! });
    const { capture } = await decodeFrame(Buffer.concat([block(block(0).length), strip]));
    expect(capture).toMatchObject({ takenAt: expected.takenAt, make: 'Maker', iso: 400, serial: '0012345' });
  });
});

describe('time', () => {
  const at = async (text: string, more: Directory = {}) =>
    (await exif({ 36867: { ascii: text }, ...more })).takenAt;

  it('without an offset is local and has no ending', async () => {
    expect(await at('2024:12:31 23:59:59')).toBe('2024-12-31T23:59:59');
  });

  it.each([
    ['-05:30', '-05:30'],
    ['+14:00', '+14:00'],
    ['+14:30', ''],
    ['-13:00', ''],
    ['   :  ', ''],
    ['0200', ''],
  ])('offset %j', async (offset, ending) => {
    expect(await at('2024:05:01 10:00:00', { 36881: { ascii: offset } })).toBe(
      `2024-05-01T10:00:00${ending}`,
    );
  });

  it.each([
    ['5', '.5'],
    ['05  ', '.05'],
    ['123456', '.123456'],
    ['   ', ''],
    ['x1', ''],
  ])('sub-seconds %j are decimal digits', async (digits, ending) => {
    expect(await at('2024:05:01 10:00:00', { 37521: { ascii: digits } })).toBe(
      `2024-05-01T10:00:00${ending}`,
    );
  });

  it.each([
    '0000:00:00 00:00:00',
    '    :  :     :  :  ',
    '2024:13:01 10:00:00',
    '2024:02:30 10:00:00',
    '2024:05:01 25:00:00',
    'yesterday',
  ])('%j is no time', async (text) => {
    expect(await at(text)).toBeNull();
  });

  it('falls back on the digitised time, with its own fraction and offset', async () => {
    const fields = {
      36868: { ascii: '2024:05:01 10:00:00' },
      36882: { ascii: '+01:00' },
      37522: { ascii: '7' },
      36881: { ascii: '+09:00' },
    };
    expect((await exif(fields)).takenAt).toBe('2024-05-01T10:00:00.7+01:00');
  });
});

describe('flash: bit 0 of field 0x9209', () => {
  const fired = [
    0x01, 0x05, 0x07, 0x09, 0x0d, 0x0f, 0x19, 0x1d, 0x1f, 0x41, 0x45, 0x47, 0x49, 0x4d, 0x4f, 0x59, 0x5d,
    0x5f,
  ];
  const not = [0x00, 0x08, 0x10, 0x14, 0x18, 0x20, 0x30, 0x50, 0x58];
  it.each([...fired.map((v) => [v, true] as const), ...not.map((v) => [v, false] as const)])(
    '0x%s',
    async (value, expected) => {
      expect((await exif({ 37385: { short: [value] } })).flashFired).toBe(expected);
    },
  );
  it('absent is unknown', async () => {
    expect((await exif({})).flashFired).toBeNull();
  });
});

describe('numbers', () => {
  it('0, 0/0 and infinity are unknown', async () => {
    const capture = await exif({
      33434: { rational: [[0, 0]] },
      33437: { rational: [[1, 0]] },
      37386: { rational: [[0, 1]] },
      41989: { short: [0] },
      34855: { short: [0] },
    });
    expect(capture).toMatchObject({
      exposureTimeS: null,
      fNumber: null,
      focalLengthMm: null,
      focalLength35mm: null,
      iso: null,
    });
  });

  it('APEX values stand in: Av 5 is f/5.66, Tv 8 is 1/256 s (annex C)', async () => {
    const capture = await exif({ 37378: { rational: [[5, 1]] }, 37377: { srational: [[8, 1]] } });
    expect([capture.fNumber, capture.exposureTimeS]).toEqual([5.65685, 0.00390625]);
  });

  it('a sensitivity of 65535 sends to the 32-bit fields', async () => {
    const full = { 34855: { short: [65535] }, 34864: { short: [2] }, 34866: { long: [102400] } };
    expect((await exif(full)).iso).toBe(102400);
    expect((await exif({ 34855: { short: [100, 200] } })).iso).toBe(100);
  });

  it('white balance 0 is automatic, 1 manual, anything else unknown', async () => {
    for (const [value, meaning] of [
      [0, 'auto'],
      [1, 'manual'],
      [2, null],
    ] as const) {
      expect((await exif({ 41987: { short: [value] } })).whiteBalance).toBe(meaning);
    }
  });

  it('lens from its specification where it has no name', async () => {
    const zoom = [
      [24, 1],
      [70, 1],
      [28, 10],
      [4, 1],
    ] as const;
    expect((await exif({ 42034: { rational: zoom } })).lens).toBe('24-70 mm f/2.8-4');
    const prime = [
      [50, 1],
      [50, 1],
      [0, 0],
      [0, 0],
    ] as const;
    expect((await exif({ 42034: { rational: prime } })).lens).toBe('50 mm');
  });

  it('colour space: sRGB, DCF option file, uncalibrated', async () => {
    const space = async (value: number, index?: string) =>
      (
        await captured({
          exif: { 40961: { short: [value] } },
          ...(index === undefined ? {} : { interoperability: { 1: { ascii: index } } }),
        })
      ).cameraColourSpace;
    expect(await space(1, 'R98')).toBe('srgb');
    expect(await space(0xffff, 'R03')).toBe('adobe-rgb');
    expect(await space(0xffff)).toBe('uncalibrated');
    expect(await space(7)).toBeNull();
  });
});

describe('hostile blocks', () => {
  it('strips control and reordering characters and caps length', async () => {
    const { image } = {
      image: {
        271: { ascii: '\u001b[31mRed\u202eder\u0007 Ltd\n' },
        272: { ascii: 'M'.repeat(5000) },
      },
    };
    const capture = await captured({ image });
    expect(capture.make).toBe('[31mRed der Ltd');
    expect(capture.model).toHaveLength(100);
  });

  it('text where numbers belong, and the reverse, is unknown', async () => {
    const capture = await captured({
      image: { 271: { short: [7] } },
      exif: { 33437: { ascii: 'f/2' }, 36867: { short: [2024] }, 37385: { ascii: 'yes' } },
    });
    expect(capture).toMatchObject({ make: null, fNumber: null, takenAt: null, flashFired: null });
  });

  it('any bytes at all cost the facts, never the frame', async () => {
    const plain = await jpeg();
    const block = exifBlock({
      image: { 271: { ascii: 'Canon' } },
      exif: { 36867: { ascii: '2024:05:01 10:00:00' }, 37500: { undefined: new Uint8Array(60) } },
    });
    await fc.assert(
      fc.asyncProperty(
        fc.oneof(
          fc.uint8Array({ maxLength: 400 }).map((bytes) => Buffer.from(bytes)),
          fc.array(fc.tuple(fc.nat(block.length - 1), fc.nat(255)), { maxLength: 8 }).map((changes) => {
            const bytes = Buffer.from(block);
            for (const [at, value] of changes) bytes[at] = value;
            return bytes;
          }),
        ),
        async (bytes) => {
          const { file } = await decodeFrame(withExif(plain, bytes));
          expect(file.format).toBe('jpeg');
        },
      ),
      { numRuns: 400, seed: 7 },
    );
  });

  it('a directory that points at itself ends', async () => {
    const block = exifBlock({ image: { 34853: { long: [8] }, 271: { ascii: 'Loop' } } });
    // The link to the next directory (after 3 entries and the count) leads back to the first.
    block.writeUInt32LE(8, 8 + 2 + 12 * 3);
    const { capture } = await decodeFrame(withExif(await jpeg(), block));
    expect(['Loop', null]).toContain(capture.make);
  });
});
