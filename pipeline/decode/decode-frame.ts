/** One frame's bytes into upright pixels in sRGB and in the file's own encoding, facts of the file, and what the camera wrote. */
import sharp, { type Metadata, type Sharp } from 'sharp';
import type { FrameImage, Rgb8 } from '../contracts/frame-image.ts';
import type { Capture, FileFacts } from '../contracts/measurement/file.ts';
import { codedError } from '../errors.ts';
import { rgbToSrgb } from '../numeric/rgb-to-srgb.ts';
import { layOnWhite, narrowTo8Bit, reachCeiling } from '../numeric/sixteen-bit.ts';
import { type Conversion, type Layout, readProfile } from './colour-profile.ts';
import { explainFailure } from './explain-failure.ts';
import { readMakerNote } from './maker-note.ts';
import { reduceForAnalysis } from './pictures.ts';
import { cameraColourSpaceOf, captureOf } from './read-capture.ts';
import { readExif } from './read-exif.ts';
import { formatNames, type PictureFormat, sniffFormat } from './sniff-format.ts';
import { readTiffFacts } from './tiff-directory.ts';

// Every frame is decoded once: a cache of decoded pictures would only hold memory.
sharp.cache(false);

/**
 * Largest picture that is decoded, Mpx. The largest sensors sold have about 151 Mpx (from memory); at 16 bit such
 * a frame takes about 1.4 GB here.
 */
export const pixelLimitMpx = 160;

export interface DecodedFrame {
  readonly image: FrameImage;
  readonly file: FileFacts;
  readonly capture: Capture;
}

/**
 * Decodes the first picture of the file once, at native size, with EXIF orientation applied; alpha is laid on white.
 * sRGB and untagged 8-bit files share one array between `srgb` and `encoded`. Files with a matrix profile are
 * converted by `numeric/rgb-to-srgb.ts`; CMYK and table profiles by the image library, and of those only
 * table profiles for RGB have an `encoded` of their own.
 *
 * @throws CodedError of kind `frame`, whose message says what the bytes are and what to do.
 */
export async function decodeFrame(bytes: Buffer): Promise<DecodedFrame> {
  const format = pictureFormat(bytes);
  const head = await readHead(bytes, format);
  const { icc } = head;
  const layout = layoutOf(head);
  const profile = readProfile(icc, layout);
  announce(3 * head.width * head.height);
  const { conversion, ...profileFacts } = profile;
  try {
    const { size, encoded, srgb } = await readPixels(bytes, head, conversion);
    const upright: Rgb8 = { width: size.width, height: size.height, data: srgb };
    const blocks = await readExif(format === 'tiff' ? bytes : (head.exif ?? Buffer.alloc(0)));
    return {
      image: { srgb: upright, encoded, analysis: await reduceForAnalysis(upright) },
      file: {
        format,
        bytes: bytes.length,
        ...size,
        bitsPerChannel: deep(head) ? (head.bitsPerSample ?? 16) : 8,
        ...profileFacts,
        cameraColourSpace: cameraColourSpaceOf(blocks),
        alpha: head.hasAlpha,
        pages: head.pages ?? 1,
      },
      capture: captureOf(blocks, readMakerNote(head.exif ?? Buffer.alloc(0)), head.xmp),
    };
  } catch (cause) {
    throw explainFailure(format, bytes, cause, head.compression);
  }
}

/**
 * Tells V8 of memory that the image library is about to take. It would hear of it only afterwards, and collect the pixels of the frame
 * before when both frames are in memory. The block itself is never written to, so the system gives it none.
 */
function announce(bytes: number): void {
  new ArrayBuffer(bytes);
}

/** What the bytes are; anything that is no picture, or one that cannot be used, is an error here. */
function pictureFormat(bytes: Buffer): PictureFormat {
  if (bytes.length === 0) throw codedError('empty-file', {});
  const sniffed = sniffFormat(bytes);
  if (sniffed.kind === 'none') throw codedError('not-a-picture', { what: sniffed.what });
  if (sniffed.kind === 'other') throw codedError('format-not-read', { what: sniffed.what, why: sniffed.why });
  const tiff = sniffed.format === 'tiff' ? readTiffFacts(bytes) : null;
  if (tiff?.cielab === true) {
    throw codedError('format-not-read', { what: 'a TIFF in CIELAB', why: 'frames are measured in RGB' });
  }
  if (tiff?.raw === true) {
    throw codedError('format-not-read', {
      what: 'a camera raw file (built like a TIFF)',
      why: 'the picture inside is only a preview, the real one needs developing first',
    });
  }
  return sniffed.format;
}

async function readHead(bytes: Buffer, format: PictureFormat): Promise<Metadata> {
  let head: Metadata;
  try {
    head = await sharp(bytes, { limitInputPixels: false }).metadata();
  } catch (cause) {
    throw explainFailure(format, bytes, cause);
  }
  const { width, height } = head;
  if (width * height > pixelLimitMpx * 1e6) {
    throw codedError('too-many-pixels', { width, height, limitMpx: pixelLimitMpx });
  }
  if (head.depth !== 'uchar' && head.depth !== 'ushort') {
    throw codedError('format-not-read', {
      what: `a ${formatNames[format]} with ${head.depth === 'float' ? '32-bit floating-point' : head.depth} channels`,
      why: 'only 8 and 16 bits a channel have a defined white',
    });
  }
  return head;
}

function layoutOf(head: Metadata): Layout {
  if (head.space === 'cmyk') return 'cmyk';
  return head.space === 'b-w' || head.space === 'grey16' ? 'grey' : 'rgb';
}

function deep(head: Metadata): boolean {
  return head.depth === 'ushort';
}

interface Pixels {
  readonly size: { readonly width: number; readonly height: number };
  readonly encoded: FrameImage['encoded'];
  readonly srgb: Uint8Array;
}

async function readPixels(bytes: Buffer, head: Metadata, conversion: Conversion): Promise<Pixels> {
  if (conversion.kind === 'library') {
    // At 16 bit sharp stops at Display P3 unless it is told where to go.
    const managed = open(bytes, false);
    const { size, data } = await read8Bit(deep(head) ? managed.withIccProfile('srgb') : managed);
    // CMYK has no RGB encoding of its own.
    const encoded =
      layoutOf(head) === 'rgb' ? (await readEncoded(bytes, head)).encoded : { data, ceiling: 255 as const };
    return { size, encoded, srgb: data };
  }
  const { size, encoded } = await readEncoded(bytes, head);
  if (conversion.kind === 'matrix') {
    return { size, encoded, srgb: rgbToSrgb(encoded, conversion.colorants, conversion.curves) };
  }
  const { data } = encoded;
  return { size, encoded, srgb: data instanceof Uint16Array ? narrowTo8Bit(data) : data };
}

/** @param asStored leave the px in the file's own encoding. */
function open(bytes: Buffer, asStored: boolean): Sharp {
  return sharp(bytes, { ignoreIcc: asStored, limitInputPixels: pixelLimitMpx * 1e6 }).autoOrient();
}

async function readEncoded(bytes: Buffer, head: Metadata): Promise<Pick<Pixels, 'size' | 'encoded'>> {
  if (!deep(head)) {
    const { size, data } = await read8Bit(open(bytes, true));
    return { size, encoded: { data, ceiling: 255 } };
  }
  const { data, info } = await open(bytes, true)
    .toColourspace('rgb16')
    .raw({ depth: 'ushort' })
    .toBuffer({ resolveWithObject: true });
  const wide = new Uint16Array(data.buffer, data.byteOffset, data.length / 2);
  reachCeiling(wide, head.bitsPerSample ?? 16);
  return {
    size: { width: info.width, height: info.height },
    encoded: { data: info.channels === 4 ? layOnWhite(wide) : wide, ceiling: 65535 },
  };
}

async function read8Bit(picture: Sharp): Promise<{ size: Pixels['size']; data: Uint8Array }> {
  const { data, info } = await picture
    .flatten({ background: '#ffffff' })
    .toColourspace('srgb')
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true });
  return {
    size: { width: info.width, height: info.height },
    data: new Uint8Array(data.buffer, data.byteOffset, data.length),
  };
}
