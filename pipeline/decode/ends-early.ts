/** Whether a file that would not decode stops before its own end, as an interrupted copy leaves it. */
import type { PictureFormat } from './sniff-format.ts';

export function endsEarly(format: PictureFormat, bytes: Buffer): boolean {
  switch (format) {
    case 'jpeg':
      return jpegEndsEarly(bytes);
    case 'png':
      return pngEndsEarly(bytes);
    case 'webp':
      // RIFF: the length after the first 8 bytes.
      return bytes.length < 8 || bytes.readUInt32LE(4) + 8 > bytes.length;
    case 'tiff':
      return tiffEndsEarly(bytes);
    case 'avif':
    case 'heic':
      return boxesEndEarly(bytes);
    case 'gif':
      return bytes.at(-1) !== 0x3b;
  }
}

/** Past the start of scan only an end-of-image marker (ITU-T T.81, B.1.1.3) ends a JPEG; one before it may be a thumbnail's. */
function jpegEndsEarly(bytes: Buffer): boolean {
  let at = 2;
  while (at + 4 <= bytes.length && bytes[at] === 0xff) {
    const marker = bytes[at + 1]!;
    if (marker === 0xda) return bytes.lastIndexOf('\xff\xd9', undefined, 'latin1') <= at;
    at += marker === 0xff ? 1 : 2 + bytes.readUInt16BE(at + 2);
  }
  return at + 4 > bytes.length;
}

/** PNG (ISO/IEC 15948): chunks of length, name, data and check sum up to IEND. */
function pngEndsEarly(bytes: Buffer): boolean {
  let at = 8;
  while (at + 12 <= bytes.length) {
    if (bytes.toString('latin1', at + 4, at + 8) === 'IEND') return false;
    at += 12 + bytes.readUInt32BE(at);
  }
  return true;
}

/** TIFF 6.0: the first directory, or the strips and tiles it lists, lie beyond the end. */
function tiffEndsEarly(bytes: Buffer): boolean {
  if (bytes.length < 8) return true;
  const little = bytes[0] === 0x49;
  const u16 = (at: number): number => (little ? bytes.readUInt16LE(at) : bytes.readUInt16BE(at));
  const u32 = (at: number): number => (little ? bytes.readUInt32LE(at) : bytes.readUInt32BE(at));
  const directory = u32(4);
  if (directory + 2 > bytes.length) return true;
  const end = directory + 2 + u16(directory) * 12;
  if (end > bytes.length) return true;
  const entries = new Map<number, number>();
  for (let at = directory + 2; at < end; at += 12) entries.set(u16(at), at);
  // StripOffsets 273 and StripByteCounts 279, or TileOffsets 324 and TileByteCounts 325.
  const offsets = entries.get(273) ?? entries.get(324);
  const counts = entries.get(279) ?? entries.get(325);
  if (offsets === undefined || counts === undefined) return false;
  const last = (entry: number): number | null => {
    const size = u16(entry + 2) === 3 ? 2 : 4;
    const count = u32(entry + 4);
    const start = count * size <= 4 ? entry + 8 : u32(entry + 8);
    const at = start + (count - 1) * size;
    if (count === 0 || at + size > bytes.length) return null;
    return size === 2 ? u16(at) : u32(at);
  };
  const offset = last(offsets);
  const count = last(counts);
  return offset === null || count === null || offset + count > bytes.length;
}

/** ISO/IEC 14496-12: top-level boxes of size and name. */
function boxesEndEarly(bytes: Buffer): boolean {
  let at = 0;
  while (at + 8 <= bytes.length) {
    const size = bytes.readUInt32BE(at);
    if (size === 0) return false;
    const whole = size === 1 && at + 16 <= bytes.length ? Number(bytes.readBigUInt64BE(at + 8)) : size;
    if (whole < 8) return false;
    at += whole;
  }
  return at !== bytes.length;
}
