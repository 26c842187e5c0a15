import sharp from 'sharp';

/** Pieces of small pictures into one moving picture. */

export interface Piece {
  readonly jpeg: Uint8Array;
  /** Which part, as shares of the picture; it may reach beyond it, where the edge is drawn on. */
  readonly window: {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
  };
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

async function cut({ jpeg, window }: Piece, size: Size): Promise<Buffer> {
  const { width = 1, height = 1 } = await sharp(jpeg).metadata();
  const left = Math.round(window.x * width);
  const top = Math.round(window.y * height);
  const wide = Math.max(1, Math.round(window.width * width));
  const high = Math.max(1, Math.round(window.height * height));
  const beyond = {
    left: Math.max(0, -left),
    top: Math.max(0, -top),
    right: Math.max(0, left + wide - width),
    bottom: Math.max(0, top + high - height),
  };
  // Two steps: the library cuts before it extends, whatever the order of the calls.
  const wider = await sharp(jpeg)
    .extend({ ...beyond, extendWith: 'copy' })
    .toColourspace('srgb')
    .png({ compressionLevel: 0 })
    .toBuffer();
  return sharp(wider)
    .extract({ left: left + beyond.left, top: top + beyond.top, width: wide, height: high })
    .resize({ ...size, fit: 'fill', kernel: 'lanczos3' })
    .png({ compressionLevel: 0 })
    .toBuffer();
}

/** @returns every piece in the size of the preview, as PNG. */
export async function cutPieces(pieces: readonly Piece[], size: Size): Promise<readonly Buffer[]> {
  return Promise.all(pieces.map((piece) => cut(piece, size)));
}

/**
 * @param frames PNGs of one size.
 * @param delayMs how long each is shown.
 * @param quality of the WebP, 1..100; a GIF has none.
 */
export async function animate(
  frames: readonly Buffer[],
  format: 'webp' | 'gif',
  delayMs: number,
  quality: number,
): Promise<Buffer> {
  const delay = frames.map(() => delayMs);
  const joined = sharp([...frames], { join: { animated: true } });
  return format === 'webp'
    ? joined.webp({ quality, delay, loop: 0, effort: 2 }).toBuffer()
    : joined.gif({ delay, loop: 0 }).toBuffer();
}
