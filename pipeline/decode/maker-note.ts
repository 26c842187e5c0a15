/**
 * The two facts that EXIF itself has no field for or that older bodies keep to themselves: the colour temperature set on
 * the camera and the body's serial number, from the maker's own block where its layout is publicly documented
 * (field numbers: ExifTool tag tables). Anything unexpected is `null`.
 */

export interface MakerFacts {
  readonly colourTemperatureK: number | null;
  readonly serial: string | null;
}

const nothing: MakerFacts = { colourTemperatureK: null, serial: null };

/** Temperatures that cameras let a person set lie within these (common practice). */
const plausibleK = { least: 1500, most: 20000 } as const;

interface Entry {
  readonly type: number;
  readonly count: number;
  /** Where the value is: in the entry itself, or elsewhere in the block. */
  readonly at: number;
}

/** A directory reader over one block; every read outside it is `null`. */
class Block {
  readonly #bytes: Buffer;
  readonly #little: boolean;

  constructor(bytes: Buffer, little: boolean) {
    this.#bytes = bytes;
    this.#little = little;
  }

  u16(at: number): number | null {
    if (at < 0 || at + 2 > this.#bytes.length) return null;
    return this.#little ? this.#bytes.readUInt16LE(at) : this.#bytes.readUInt16BE(at);
  }

  u32(at: number): number | null {
    if (at < 0 || at + 4 > this.#bytes.length) return null;
    return this.#little ? this.#bytes.readUInt32LE(at) : this.#bytes.readUInt32BE(at);
  }

  text(at: number, length: number): string {
    return this.#bytes.toString('latin1', at, at + length);
  }

  /** The entry of field `wanted` in the directory at `directory`; `base` is what stored offsets count from. */
  find(directory: number, wanted: number, base = 0): Entry | null {
    const count = this.u16(directory) ?? 0;
    for (let i = 0, at = directory + 2; i < count; i++, at += 12) {
      if (this.u16(at) !== wanted) continue;
      const type = this.u16(at + 2) ?? 0;
      const values = this.u32(at + 4) ?? 0;
      const size = values * (typeSizes[type] ?? 1);
      const elsewhere = this.u32(at + 8);
      if (elsewhere === null) return null;
      return { type, count: values, at: size <= 4 ? at + 8 : base + elsewhere };
    }
    return null;
  }

  /** First value of a 16 or 32 bit field. */
  number(entry: Entry | null): number | null {
    if (entry === null || entry.count < 1) return null;
    if (entry.type === 3) return this.u16(entry.at);
    return entry.type === 4 ? this.u32(entry.at) : null;
  }
}

/** Bytes a value of each TIFF field type. */
const typeSizes: Readonly<Record<number, number>> = { 1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1, 8: 2, 9: 4, 10: 8 };

/** `block`: the EXIF block with or without its `Exif\0\0` mark. */
export function readMakerNote(block: Buffer): MakerFacts {
  const bytes = block.toString('latin1', 0, 6) === 'Exif\0\0' ? block.subarray(6) : block;
  const little = bytes[0] === 0x49;
  const tiff = new Block(bytes, little);
  const exif = tiff.number(tiff.find(tiff.u32(4) ?? 0, 0x8769));
  const make = tiff.find(tiff.u32(4) ?? 0, 0x010f);
  const note = exif === null ? null : tiff.find(exif, 0x927c);
  if (note === null || make === null) return nothing;
  const maker = tiff.text(make.at, Math.min(make.count, 40)).toLowerCase();
  if (maker.startsWith('canon')) return canon(tiff, note.at);
  // Sony's directory follows a 12-byte mark; its offsets count from the TIFF header, but this value is in place.
  if (maker.startsWith('sony')) return temperatureAt(tiff, note.at + 12, 0xb021);
  if (maker.startsWith('panasonic')) return temperatureAt(tiff, note.at + 12, 0x0044);
  if (maker.startsWith('fujifilm')) return fujifilm(bytes, note);
  return nothing;
}

/** ProcessingInfo (0x00a0), item 9: temperature; it counts only where item 8, the white balance, is 9 ("colour temperature"). */
function canon(tiff: Block, directory: number): MakerFacts {
  const info = tiff.find(directory, 0x00a0);
  const chosen = info !== null && info.count > 9 && tiff.u16(info.at + 16) === 9;
  const serial = tiff.number(tiff.find(directory, 0x000c));
  return {
    colourTemperatureK: chosen ? plausible(tiff.u16(info.at + 18)) : null,
    serial: serial === null || serial === 0 ? null : String(serial),
  };
}

/** Always little-endian, with its own offsets: 8 bytes of name, then where the directory is. */
function fujifilm(bytes: Buffer, note: Entry): MakerFacts {
  const own = new Block(bytes.subarray(note.at, note.at + note.count), true);
  return temperatureAt(own, own.u32(8) ?? -1, 0x1005);
}

function temperatureAt(block: Block, directory: number, wanted: number): MakerFacts {
  return { colourTemperatureK: plausible(block.number(block.find(directory, wanted))), serial: null };
}

function plausible(kelvin: number | null): number | null {
  return kelvin !== null && kelvin >= plausibleK.least && kelvin <= plausibleK.most ? kelvin : null;
}
