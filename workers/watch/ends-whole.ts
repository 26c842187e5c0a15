import { open } from 'node:fs/promises';

/** The last bytes of a JPEG: the end-of-image marker (ITU-T T.81, B.1.1.3). */
const endOfImage = 0xffd9;

/**
 * Whether a file ends as a JPEG does, so that nothing more is to be expected. Space that a copy reserves ahead reads as zeros and a
 * thumbnail ends long before its frame, so an end in the middle of a copy is rare; a file that is written to again comes again.
 */
export async function endsWhole(path: string): Promise<boolean> {
  try {
    await using file = await open(path);
    const { size } = await file.stat();
    const { bytesRead, buffer } = await file.read(Buffer.alloc(2), 0, 2, Math.max(0, size - 2));
    return bytesRead === 2 && buffer.readUInt16BE(0) === endOfImage;
  } catch {
    // Gone again, or not to be read: measuring says so.
    return false;
  }
}
