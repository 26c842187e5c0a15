/** Small pictures with known px, as files. */
import { deflateSync } from 'node:zlib';
import sharp, { type Sharp } from 'sharp';

export const size = { width: 48, height: 32 } as const;

/** Smooth colours that differ in every quarter, so that a turned or mirrored picture shows. */
export function pattern(width: number = size.width, height: number = size.height): Uint8Array {
  const data = new Uint8Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = 3 * (y * width + x);
      data[at] = Math.round((255 * x) / Math.max(1, width - 1));
      data[at + 1] = Math.round((255 * y) / Math.max(1, height - 1));
      data[at + 2] = x < width / 2 === y < height / 2 ? 200 : 40;
    }
  }
  return data;
}

export function picture(width: number = size.width, height: number = size.height): Sharp {
  return sharp(pattern(width, height), { raw: { width, height, channels: 3 } });
}

export async function jpeg(width?: number, height?: number): Promise<Buffer> {
  return picture(width, height).jpeg({ quality: 95, chromaSubsampling: '4:4:4' }).toBuffer();
}

/** A PNG whose header claims a size and whose data holds next to nothing (ISO/IEC 15948, 11.2.2). */
export function hollowPng(width: number, height: number): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([8, 2, 0, 0, 0], 8);
  const chunk = (name: string, body: Buffer): Buffer => {
    const named = Buffer.concat([Buffer.from(name, 'latin1'), body]);
    const [length, check] = [Buffer.alloc(4), Buffer.alloc(4)];
    length.writeUInt32BE(body.length);
    check.writeUInt32BE(crc(named));
    return Buffer.concat([length, named, check]);
  };
  return Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    chunk('IHDR', header),
    chunk('IDAT', deflateSync(Buffer.alloc(64))),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

/** CRC of ISO/IEC 15948 annex D; Node 20 has none of its own. */
function crc(bytes: Buffer): number {
  let value = 0xffffffff;
  for (const byte of bytes) {
    value ^= byte;
    for (let bit = 0; bit < 8; bit++) value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1;
  }
  return (value ^ 0xffffffff) >>> 0;
}
