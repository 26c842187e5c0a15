/** Builds EXIF blocks byte by byte (TIFF 6.0 section 2; Exif 2.32 field numbers), so that tests rest on the standard and on no library. */

export type Value =
  | { readonly ascii: string }
  | { readonly short: readonly number[] }
  | { readonly long: readonly number[] }
  | { readonly rational: readonly (readonly [number, number])[] }
  | { readonly srational: readonly (readonly [number, number])[] }
  | { readonly undefined: Uint8Array };

export type Directory = Readonly<Record<number, Value>>;

export interface ExifParts {
  readonly image?: Directory;
  readonly exif?: Directory;
  readonly interoperability?: Directory;
  readonly bigEndian?: boolean;
}

const ifdExif = 0x8769;
const ifdInteroperability = 0xa005;

/** The TIFF-structured block, without the `Exif\0\0` mark. */
export function exifBlock({ image = {}, exif = {}, interoperability, bigEndian = false }: ExifParts): Buffer {
  const order = new Order(bigEndian);
  const head = bigEndian
    ? Buffer.from('MM\0*\0\0\0\x08', 'latin1')
    : Buffer.from('II*\0\x08\0\0\0', 'latin1');
  // Sizes are known beforehand, so directories are laid out one after the other.
  const withPointers = (exifAt: number, interopAt: number) => ({
    image: { ...image, [ifdExif]: { long: [exifAt] } } as Directory,
    exif: (interoperability === undefined
      ? exif
      : { ...exif, [ifdInteroperability]: { long: [interopAt] } }) as Directory,
  });
  const draft = withPointers(0, 0);
  const exifAt = 8 + order.directory(draft.image, 8).length;
  const interopAt = exifAt + order.directory(draft.exif, exifAt).length;
  const final = withPointers(exifAt, interopAt);
  return Buffer.concat([
    head,
    order.directory(final.image, 8),
    order.directory(final.exif, exifAt),
    interoperability === undefined ? Buffer.alloc(0) : order.directory(interoperability, interopAt),
  ]);
}

/** A JPEG with that block as its first APP1 segment (Exif 2.32, 4.5.4). */
export function withExif(jpeg: Buffer, block: Buffer): Buffer {
  const mark = Buffer.from('Exif\0\0', 'latin1');
  const size = 2 + mark.length + block.length;
  const head = Buffer.from([0xff, 0xe1, size >> 8, size & 255]);
  return Buffer.concat([jpeg.subarray(0, 2), head, mark, block, jpeg.subarray(2)]);
}

class Order {
  readonly #big: boolean;

  constructor(big: boolean) {
    this.#big = big;
  }

  u16(value: number): Buffer {
    const buffer = Buffer.alloc(2);
    if (this.#big) buffer.writeUInt16BE(value);
    else buffer.writeUInt16LE(value);
    return buffer;
  }

  u32(value: number): Buffer {
    const buffer = Buffer.alloc(4);
    if (this.#big) buffer.writeUInt32BE(value >>> 0);
    else buffer.writeUInt32LE(value >>> 0);
    return buffer;
  }

  /** The directory and, behind it, the values that do not fit into four bytes. */
  directory(fields: Directory, at: number): Buffer {
    const numbers = Object.keys(fields)
      .map(Number)
      .sort((a, b) => a - b);
    const values = at + 2 + 12 * numbers.length + 4;
    const entries: Buffer[] = [];
    const outside: Buffer[] = [];
    let used = 0;
    for (const number of numbers) {
      const { type, count, bytes } = this.#value(fields[number]!);
      entries.push(this.u16(number), this.u16(type), this.u32(count));
      if (bytes.length <= 4) {
        entries.push(Buffer.concat([bytes, Buffer.alloc(4 - bytes.length)]));
      } else {
        entries.push(this.u32(values + used));
        const padded = Buffer.concat([bytes, Buffer.alloc(bytes.length % 2)]);
        outside.push(padded);
        used += padded.length;
      }
    }
    return Buffer.concat([this.u16(numbers.length), ...entries, this.u32(0), ...outside]);
  }

  #value(value: Value): { type: number; count: number; bytes: Buffer } {
    if ('ascii' in value) {
      const bytes = Buffer.from(`${value.ascii}\0`, 'utf8');
      return { type: 2, count: bytes.length, bytes };
    }
    if ('undefined' in value)
      return { type: 7, count: value.undefined.length, bytes: Buffer.from(value.undefined) };
    if ('short' in value) {
      return {
        type: 3,
        count: value.short.length,
        bytes: Buffer.concat(value.short.map((v) => this.u16(v))),
      };
    }
    if ('long' in value) {
      return { type: 4, count: value.long.length, bytes: Buffer.concat(value.long.map((v) => this.u32(v))) };
    }
    const pairs = 'rational' in value ? value.rational : value.srational;
    return {
      type: 'rational' in value ? 5 : 10,
      count: pairs.length,
      bytes: Buffer.concat(pairs.flatMap(([a, b]) => [this.u32(a), this.u32(b)])),
    };
  }
}
