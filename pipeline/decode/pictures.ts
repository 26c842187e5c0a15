/** Smaller pictures from decoded ones: for the analysis, and JPEGs for documents. No metadata goes into any of them. */
import sharp, { type Sharp } from 'sharp';
import type { Box } from '../contracts/box.ts';
import { analysisLongEdgePx, type FrameImage, type Mask, type Rgb8 } from '../contracts/frame-image.ts';

/** Common practice for small pictures on a page. */
const defaultQuality = 82;

/**
 * Long edge at most `analysisLongEdgePx`, never enlarged: libvips averages whole px 2 x 2 as often as they go in and
 * finishes with a triangle filter, so that nothing rings at edges and every px counts.
 */
export async function reduceForAnalysis(picture: Rgb8): Promise<Rgb8> {
  const { width, height } = picture;
  const share = Math.min(1, analysisLongEdgePx / Math.max(width, height));
  if (share === 1) return picture;
  const { data, info } = await resized(picture, share).raw().toBuffer({ resolveWithObject: true });
  return {
    width: info.width,
    height: info.height,
    data: new Uint8Array(data.buffer, data.byteOffset, data.length),
  };
}

function wrap({ width, height, data }: Rgb8): Sharp {
  return sharp(data, { raw: { width, height, channels: 3 }, limitInputPixels: false });
}

function resized(picture: Rgb8, share: number): Sharp {
  const width = Math.max(1, Math.round(picture.width * share));
  const height = Math.max(1, Math.round(picture.height * share));
  return wrap(picture).resize({ width, height, fit: 'fill', kernel: 'linear' });
}

/** @param quality 1..100. */
export async function encodeJpeg(picture: Rgb8, quality = defaultQuality): Promise<Buffer> {
  return wrap(picture).jpeg({ quality, mozjpeg: false }).toBuffer();
}

/** The coverage px for px as an 8-bit grey PNG. */
export async function encodeMask({ width, height, data }: Mask): Promise<Buffer> {
  return sharp(data, { raw: { width, height, channels: 1 } })
    .toColourspace('b-w')
    .png()
    .toBuffer();
}

/** The whole frame as a JPEG, long edge at most `longEdgePx`. */
export async function thumbnail(
  image: FrameImage,
  longEdgePx: number,
  quality = defaultQuality,
): Promise<Buffer> {
  const smallEnough = longEdgePx <= Math.max(image.analysis.width, image.analysis.height);
  const source = smallEnough ? image.analysis : image.srgb;
  const share = Math.min(1, longEdgePx / Math.max(source.width, source.height));
  return resized(source, share).jpeg({ quality }).toBuffer();
}

export interface NativeCrop {
  readonly jpeg: Buffer;
  /** What the crop shows, in px of the upright frame. */
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/**
 * A piece of the frame px for px (100 %), as a JPEG. Where the box is larger than `maxPx` in a direction, its middle is
 * shown; it is moved, not squeezed, at the frame's edge.
 *
 * @param box shares of the upright frame.
 * @param maxPx largest width and height.
 */
export async function cropNative(
  image: FrameImage,
  box: Box,
  maxPx: number,
  quality = 90,
): Promise<NativeCrop> {
  const [x, width] = span(box[0], box[2], image.srgb.width, maxPx);
  const [y, height] = span(box[1], box[3], image.srgb.height, maxPx);
  const jpeg = await wrap(image.srgb)
    .extract({ left: x, top: y, width, height })
    .jpeg({ quality, chromaSubsampling: '4:4:4' })
    .toBuffer();
  return { jpeg, x, y, width, height };
}

/** Start and length in px of a stretch given as shares of `totalPx`. */
function span(start: number, length: number, totalPx: number, maxPx: number): readonly [number, number] {
  const lengthPx = Math.min(Math.max(1, Math.round(length * totalPx)), maxPx, totalPx);
  const centrePx = (start + length / 2) * totalPx;
  const startPx = Math.round(centrePx - lengthPx / 2);
  return [Math.min(Math.max(0, startPx), totalPx - lengthPx), lengthPx];
}
