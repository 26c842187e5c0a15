/** Files that are no pictures, or not quite: each gets a true sentence. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeFrame, pixelLimitMpx } from '../../../pipeline/decode/decode-frame.ts';
import { CodedError, type ErrorCode } from '../../../pipeline/errors.ts';
import { exifBlock, withExif } from '../../helpers/exif-maker.ts';
import { matrixProfile, withProfile } from '../../helpers/icc-maker.ts';
import { hollowPng, jpeg, picture } from '../../helpers/pictures.ts';

async function refusal(bytes: Buffer): Promise<CodedError> {
  const error = await decodeFrame(bytes).then(
    () => null,
    (thrown: unknown) => thrown,
  );
  if (!(error instanceof CodedError)) throw new Error(`expected a coded error, received ${String(error)}`);
  expect(error.kind).toBe('frame');
  expect(error.message).toMatch(/^[A-Z].*\.$/);
  return error;
}

const latin = (text: string): Buffer => Buffer.from(text, 'latin1');

describe('not a picture', () => {
  it('nothing at all', async () => {
    expect((await refusal(Buffer.alloc(0))).message).toBe(
      'The file is empty (0 bytes): copy it again from the camera card.',
    );
  });

  const cases: readonly (readonly [string, Buffer, ErrorCode, string])[] = [
    ['text', Buffer.from('These are my notes für heute'), 'not-a-picture', 'plain text'],
    ['a web page', Buffer.from('<!DOCTYPE html><html>404'), 'not-a-picture', 'a web page'],
    [
      'a vector drawing',
      Buffer.from('<?xml version="1.0"?><svg xmlns="x"/>'),
      'not-a-picture',
      'a vector drawing',
    ],
    ['zeros', Buffer.alloc(5000), 'not-a-picture', 'nothing but zeros'],
    ['PDF', latin('%PDF-1.7\n\xe2\xe3'), 'not-a-picture', 'a PDF document'],
    ['ZIP', latin('PK\x03\x04\x14\0'), 'not-a-picture', 'a ZIP archive'],
    ['a video', latin('\0\0\0\x18ftypisom\0\0\0\0'), 'not-a-picture', 'a video'],
    [
      'noise',
      Buffer.from([...Array(300).keys()].map((i) => (i * 89 + 131) % 251)),
      'not-a-picture',
      'no kind known',
    ],
    ['a layered document', latin('8BPS\0\x01'), 'format-not-read', 'flattened first'],
    ['JPEG XL', latin('\0\0\0\x0cJXL \r\n\x87\n'), 'format-not-read', 'JPEG XL'],
    ['CR2', latin('II*\0\x10\0\0\0CR\x02\0'), 'format-not-read', 'camera raw file (CR2)'],
    ['CR3', latin('\0\0\0\x18ftypcrx \0\0\0\x01'), 'format-not-read', 'camera raw file (CR3)'],
    ['RAF', latin('FUJIFILMCCD-RAW 0201'), 'format-not-read', 'camera raw file (RAF)'],
  ];
  it.each(cases)('%s', async (_, bytes, code, words) => {
    const error = await refusal(bytes);
    expect(error.code).toBe(code);
    expect(error.message).toContain(words);
  });

  it('a raw file that is built like a TIFF, by its preview mark (TIFF 6.0 field 254, bit 0) or its colour filter (TIFF/EP)', async () => {
    for (const field of [{ 254: { long: [1] } }, { 262: { short: [32803] } }]) {
      const error = await refusal(
        exifBlock({ image: { 256: { long: [160] }, 257: { long: [120] }, ...field } }),
      );
      expect([error.code, error.message]).toEqual([
        'format-not-read',
        'The file is a camera raw file (built like a TIFF), which cannot be read here: the picture inside is only a preview, the real one needs developing first. Deliver it as JPEG, PNG, TIFF or WebP.',
      ]);
    }
  });

  it('HEIC, where the library has no decoder for it', async () => {
    const box = latin('\0\0\0\x18ftypheic\0\0\0\0mif1heic\0\0\0\x08mdat');
    expect((await refusal(box)).message).toContain('HEVC');
  });
});

describe('pictures that stop early', () => {
  const formats = {
    JPEG: () => jpeg(200, 150),
    'JPEG with a whole thumbnail': async () =>
      withExif(await jpeg(200, 150), exifBlock({ exif: { 37500: { undefined: await jpeg(40, 30) } } })),
    PNG: () => picture(200, 150).png().toBuffer(),
    WebP: () => picture(200, 150).webp().toBuffer(),
    TIFF: () => picture(200, 150).tiff({ compression: 'lzw' }).toBuffer(),
    AVIF: () => picture(200, 150).avif({ effort: 0 }).toBuffer(),
    GIF: () => picture(200, 150).gif().toBuffer(),
  } as const;
  it.each(Object.entries(formats))('%s, half of it', async (name, make) => {
    const whole = await make();
    await decodeFrame(whole);
    const error = await refusal(whole.subarray(0, whole.length >> 1));
    expect(error.message).toBe(
      `The ${name.split(' ')[0]} file is cut off before its end: copy it again from the camera card.`,
    );
    expect(error.cause).toBeInstanceOf(Error);
  });

  it('a JPEG whose first bytes are all there is', async () => {
    const whole = await jpeg();
    for (const length of [3, 4, 20]) expect((await refusal(whole.subarray(0, length))).code).toBe('cut-off');
  });

  it('a whole file with damage inside is called damaged, not cut off', async () => {
    const bytes = await picture(200, 150).png().toBuffer();
    bytes[bytes.length - 60]! ^= 0x55;
    expect((await refusal(bytes)).code).toBe('damaged-picture');
  });

  it('bytes after the end do no harm', async () => {
    const { file } = await decodeFrame(Buffer.concat([await jpeg(), Buffer.alloc(999, 7)]));
    expect(file.format).toBe('jpeg');
  });
});

describe('too large', () => {
  it('30,000 x 30,000 px is refused by its header, before memory is taken', async () => {
    const before = process.memoryUsage().rss;
    expect((await refusal(hollowPng(30000, 30000))).message).toBe(
      'The picture is 30000 x 30000 px (900 Mpx), above the limit of 160 Mpx: deliver it smaller.',
    );
    expect(process.memoryUsage().rss - before).toBeLessThan(100e6);
  });

  it('the largest sensors stay below the limit', () => {
    // 14204 x 10652 px, a medium-format back (from memory).
    expect((14204 * 10652) / 1e6).toBeLessThan(pixelLimitMpx);
  });
});

describe('depths that have no defined white', () => {
  /** TIFF 6.0 by hand: 2 x 2 px, three channels of `bits`, SampleFormat 3 is floating point. */
  function tiff(bits: number, sampleFormat: number, photometric = 2): Buffer {
    const strip = Buffer.alloc(Math.ceil((4 * 3 * bits) / 8) + 4, 0x3e);
    const block = (offset: number): Buffer =>
      exifBlock({
        image: {
          256: { short: [2] },
          257: { short: [2] },
          258: { short: [bits, bits, bits] },
          259: { short: [1] },
          262: { short: [photometric] },
          273: { long: [offset] },
          277: { short: [3] },
          278: { short: [2] },
          279: { long: [strip.length] },
          339: { short: [sampleFormat, sampleFormat, sampleFormat] },
        },
      });
    return Buffer.concat([block(block(0).length), strip]);
  }

  it('the hand-made TIFF is sound at 16 bits', async () => {
    expect((await decodeFrame(tiff(16, 1))).file.bitsPerChannel).toBe(16);
  });

  it('floating point', async () => {
    expect((await refusal(tiff(32, 3))).message).toContain('32-bit floating-point channels');
  });

  it('CIELAB (photometric interpretation 8)', async () => {
    expect((await refusal(tiff(8, 1, 8))).message).toContain('a TIFF in CIELAB');
    expect((await refusal(tiff(16, 1, 8))).message).toContain('a TIFF in CIELAB');
  });

  it('12 bits', async () => {
    expect((await refusal(tiff(12, 1))).message).toContain('a TIFF with 12 bits a channel');
  });
});

describe('damage of any kind', () => {
  it('ends in a decoded frame or a coded error, never in anything else', async () => {
    const exif = exifBlock({
      image: { 271: { ascii: 'Maker' }, 274: { short: [6] } },
      exif: { 36867: { ascii: '2024:05:01 10:00:00' }, 33437: { rational: [[28, 10]] } },
    });
    const tagged = withProfile(await jpeg(), matrixProfile('adobe-rgb', 'Adobe RGB (1998)'));
    const files = [
      withExif(tagged, exif),
      await picture().png().toBuffer(),
      await picture().tiff({ compression: 'none' }).toBuffer(),
      await picture().webp().toBuffer(),
    ];
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...files),
        fc.array(fc.tuple(fc.nat(), fc.nat(255)), { minLength: 1, maxLength: 12 }),
        fc.option(fc.nat(), { nil: null }),
        async (file, changes, cut) => {
          const bytes = Buffer.from(cut === null ? file : file.subarray(0, cut % file.length));
          for (const [at, value] of changes)
            if (bytes.length > 0) bytes[at % Math.min(bytes.length, 900)] = value;
          try {
            const { image, file: facts } = await decodeFrame(bytes);
            expect(image.srgb.data.length).toBe(3 * facts.width * facts.height);
            expect(image.encoded.data.length).toBe(image.srgb.data.length);
          } catch (error) {
            if (!(error instanceof CodedError)) throw error;
            expect(error.message.length).toBeLessThan(400);
          }
        },
      ),
      { numRuns: 800, seed: 20240501 },
    );
  });
});
