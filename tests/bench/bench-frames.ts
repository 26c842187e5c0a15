/** Full-size frames for the bench, made of the demo's rendered ones: nobody's photograph is needed to run it. */
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';

/** A model with her eyes in view and a passer-by, so that every network and every quantity has something to do. */
const model = fileURLToPath(new URL('../../samples/delivery/tea-dress/a-0447.jpg', import.meta.url));

/** Sides of upright 2:3 frames. */
const sidesPx = { 24: [4000, 6000], 45: [5477, 8216] } as const;
export type Mpx = keyof typeof sidesPx;

/** With a flash, at a shutter that may be too fast for it, or without EXIF the search for a dark band runs as well. */
export const captures = ['flash', 'no flash', 'no EXIF'] as const;
type CaptureKind = (typeof captures)[number];

const exifOf = (capture: CaptureKind) => ({
  IFD0: { Make: 'Nightrail', Model: 'Bench' },
  IFD2: {
    ExposureTime: '1/250',
    FNumber: '28/10',
    ISOSpeedRatings: '400',
    Flash: capture === 'flash' ? '1' : '0',
  },
});

/** A demo frame enlarged, with grain over it so that there is detail down to every px; JPEG of quality 92. */
export async function highDetailFrame(mpx: Mpx, capture: CaptureKind = 'flash'): Promise<Buffer> {
  const [width, height] = sidesPx[mpx];
  const noise = await sharp({
    create: {
      width,
      height,
      channels: 3,
      background: '#808080',
      noise: { type: 'gaussian', mean: 128, sigma: 12 },
    },
  })
    .png({ compressionLevel: 0 })
    .toBuffer();
  const picture = sharp(await readFile(model))
    .resize(width, height, { fit: 'cover' })
    .composite([{ input: noise, blend: 'overlay' }])
    .jpeg({ quality: 92 });
  return (capture === 'no EXIF' ? picture : picture.withExif(exifOf(capture))).toBuffer();
}

/** The same picture under another content hash: a comment segment (ITU-T T.81, B.2.4.5) behind the start of the JPEG. */
export function renumbered(jpeg: Buffer, number: number): Buffer {
  const comment = Buffer.from(`frame ${number}`);
  const head = Buffer.from([0xff, 0xfe, 0, comment.length + 2]);
  return Buffer.concat([jpeg.subarray(0, 2), head, comment, jpeg.subarray(2)]);
}
