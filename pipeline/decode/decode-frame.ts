import sharp from 'sharp';
import { analysisLongEdgePx, type FrameImage } from '../contracts/frame-image.ts';
import type { Capture, FileFacts } from '../contracts/measurement/file.ts';

const noCapture: Capture = {
  takenAt: null,
  make: null,
  model: null,
  serial: null,
  lens: null,
  fNumber: null,
  exposureTimeS: null,
  iso: null,
  focalLengthMm: null,
  focalLength35mm: null,
  flashFired: null,
  whiteBalance: null,
  colourTemperatureK: null,
};

export interface DecodedFrame {
  readonly image: FrameImage;
  readonly file: FileFacts;
  readonly capture: Capture;
}

/** One frame's bytes into upright pixels, facts of the file and what the camera wrote. */
export async function decodeFrame(bytes: Buffer): Promise<DecodedFrame> {
  const head = await sharp(bytes).metadata();
  const { data, info } = await sharp(bytes)
    .autoOrient()
    .flatten({ background: '#fff' })
    .toColourspace('srgb')
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true });
  const srgb = {
    width: info.width,
    height: info.height,
    data: new Uint8Array(data.buffer, data.byteOffset, data.length),
  };
  const small = await sharp(data, { raw: { width: info.width, height: info.height, channels: 3 } })
    .resize({
      width: analysisLongEdgePx,
      height: analysisLongEdgePx,
      fit: 'inside',
      withoutEnlargement: true,
      kernel: 'linear',
    })
    .raw()
    .toBuffer({ resolveWithObject: true });
  return {
    image: {
      srgb,
      encoded: { data: srgb.data, ceiling: 255 },
      analysis: { width: small.info.width, height: small.info.height, data: new Uint8Array(small.data) },
    },
    file: {
      format: head.format ?? 'unknown',
      bytes: bytes.length,
      width: info.width,
      height: info.height,
      bitsPerChannel: 8,
      colourProfile: null,
      colourSpace: 'untagged',
      profileNameAgrees: null,
      profileProblem: null,
      cameraColourSpace: null,
      alpha: head.hasAlpha ?? false,
      pages: head.pages ?? 1,
    },
    capture: noCapture,
  };
}
