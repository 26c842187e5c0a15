import sharp from 'sharp';
import type { FrameImage } from '../contracts/frame-image.ts';

/** Common practice for pictures that a store sells from: no loss that can be seen at full size. */
const quality = 92;

export interface StorePicture {
  readonly jpeg: Buffer;
  readonly width: number;
  readonly height: number;
}

/** The frame as a store wants it: sRGB with its profile, long edge at most `longEdgePx`, never enlarged, no metadata of the camera. */
export async function storePicture({ srgb }: FrameImage, longEdgePx: number): Promise<StorePicture> {
  const { width, height, data } = srgb;
  const { data: jpeg, info } = await sharp(data, {
    raw: { width, height, channels: 3 },
    limitInputPixels: false,
  })
    .resize({ width: longEdgePx, height: longEdgePx, fit: 'inside', withoutEnlargement: true })
    .withIccProfile('srgb')
    .jpeg({ quality, chromaSubsampling: '4:4:4' })
    .toBuffer({ resolveWithObject: true });
  return { jpeg, width: info.width, height: info.height };
}
