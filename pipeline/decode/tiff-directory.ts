/** The few fields of a TIFF's first directory that decide whether it is a picture or a raw file around a preview. */

export interface TiffFacts {
  /** A camera raw file: the first picture inside is a preview or sensor values. */
  readonly raw: boolean;
  /** The px are CIELAB values of any coding. */
  readonly cielab: boolean;
  readonly bitsPerSample: number | null;
}

/** TIFF 6.0 and DNG 1.7 field numbers. */
const newSubfileType = 254;
const bitsPerSample = 258;
const photometric = 262;
const dngVersion = 50706;
/** PhotometricInterpretation of colour filter arrays (TIFF/EP) and of linear raw (DNG). */
const sensorValues = [32803, 34892];
/** CIELab of TIFF 6.0, ICCLab and ITULab of its supplements. */
const cielab = [8, 9, 10];

/** `null` where the directory cannot be read, or is that of a BigTIFF. */
export function readTiffFacts(bytes: Buffer): TiffFacts | null {
  if (bytes.length < 8) return null;
  const little = bytes[0] === 0x49;
  const u16 = (at: number): number => (little ? bytes.readUInt16LE(at) : bytes.readUInt16BE(at));
  const u32 = (at: number): number => (little ? bytes.readUInt32LE(at) : bytes.readUInt32BE(at));
  if (u16(2) !== 42) return null;
  const directory = u32(4);
  if (directory + 2 > bytes.length) return null;
  const end = Math.min(directory + 2 + u16(directory) * 12, bytes.length - 11);
  const fields = new Map<number, number>();
  for (let at = directory + 2; at < end; at += 12) {
    const isShort = u16(at + 2) === 3;
    const inline = u32(at + 4) * (isShort ? 2 : 4) <= 4;
    const where = inline ? at + 8 : u32(at + 8);
    if (where + 4 <= bytes.length) fields.set(u16(at), isShort ? u16(where) : u32(where));
  }
  return {
    // Bit 0 of NewSubfileType: a reduced-resolution version of another picture in the file.
    raw:
      fields.has(dngVersion) ||
      sensorValues.includes(fields.get(photometric) ?? 0) ||
      ((fields.get(newSubfileType) ?? 0) & 1) === 1,
    cielab: cielab.includes(fields.get(photometric) ?? 0),
    bitsPerSample: fields.get(bitsPerSample) ?? null,
  };
}
