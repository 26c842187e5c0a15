import sharp from 'sharp';

/**
 * A mask as large as its frame, 8-bit grey PNG. Both span the whole frame, so the smaller one is stretched to the size given, its
 * px centres kept: the edge does not move, it only becomes as fine as the frame.
 *
 * @param png 8-bit grey, at most as large as the frame.
 * @param width of the upright frame, px; `height` likewise.
 */
export async function enlargeMask(png: Uint8Array, width: number, height: number): Promise<Buffer> {
  return sharp(png)
    .resize({ width, height, fit: 'fill', kernel: 'cubic' })
    .toColourspace('b-w')
    .png()
    .toBuffer();
}
