/** Builds ICC profiles byte by byte from ICC.1:2010 (header table 17, tag types of clause 10), independent of the code that reads them. */

export type Xyz = readonly [number, number, number];

export type CurveBytes = Uint8Array;

function uint32(value: number): number[] {
  return [(value >>> 24) & 255, (value >>> 16) & 255, (value >>> 8) & 255, value & 255];
}

function ascii(text: string): number[] {
  return [...text].map((character) => character.charCodeAt(0));
}

function fixed(value: number): number[] {
  return uint32(Math.round(value * 65536) >>> 0);
}

/** `curveType` with one entry: u8Fixed8 gamma (10.5). */
export function gammaCurve(gamma: number): CurveBytes {
  const value = Math.round(gamma * 256);
  return Uint8Array.from([...ascii('curv'), 0, 0, 0, 0, ...uint32(1), value >> 8, value & 255, 0, 0]);
}

/** `curveType` with samples of `f` over 0..1. */
export function sampledCurve(count: number, f: (code: number) => number): CurveBytes {
  const samples = Array.from({ length: count }, (_, i) => Math.round(f(i / (count - 1)) * 65535));
  return Uint8Array.from([
    ...ascii('curv'),
    0,
    0,
    0,
    0,
    ...uint32(count),
    ...samples.flatMap((value) => [value >> 8, value & 255]),
  ]);
}

/** `parametricCurveType` (10.16). */
export function parametricCurve(kind: number, parameters: readonly number[]): CurveBytes {
  return Uint8Array.from([...ascii('para'), 0, 0, 0, 0, 0, kind, 0, 0, ...parameters.flatMap(fixed)]);
}

/** sRGB as a parametric curve of type 3 (the form most version 4 profiles use). */
export const srgbParametric = parametricCurve(3, [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045]);

export function xyzTag([x, y, z]: Xyz): Uint8Array {
  return Uint8Array.from([...ascii('XYZ '), 0, 0, 0, 0, ...fixed(x), ...fixed(y), ...fixed(z)]);
}

/** `textDescriptionType` of version 2. */
export function descriptionV2(text: string): Uint8Array {
  return Uint8Array.from([
    ...ascii('desc'),
    0,
    0,
    0,
    0,
    ...uint32(text.length + 1),
    ...ascii(text),
    ...new Array<number>(1 + 4 + 4 + 2 + 1 + 67).fill(0),
  ]);
}

/** `multiLocalizedUnicodeType` with one record. */
export function descriptionV4(text: string): Uint8Array {
  const units = [...Array(text.length).keys()].flatMap((i) => [
    text.charCodeAt(i) >> 8,
    text.charCodeAt(i) & 255,
  ]);
  return Uint8Array.from([
    ...ascii('mluc'),
    0,
    0,
    0,
    0,
    ...uint32(1),
    ...uint32(12),
    ...ascii('enUS'),
    ...uint32(units.length),
    ...uint32(28),
    ...units,
  ]);
}

export interface ProfileParts {
  readonly space?: string;
  readonly version?: 2 | 4;
  readonly connection?: 'XYZ ' | 'Lab ';
  readonly tags: Readonly<Record<string, Uint8Array>>;
}

export function iccProfile({ space = 'RGB ', version = 4, connection = 'XYZ ', tags }: ProfileParts): Buffer {
  const names = Object.keys(tags);
  const start = 128 + 4 + 12 * names.length;
  let offset = start;
  const table: number[] = [];
  const body: number[] = [];
  for (const name of names) {
    const tag = tags[name]!;
    table.push(...ascii(name), ...uint32(offset), ...uint32(tag.length));
    const padded = [...tag, ...new Array<number>((4 - (tag.length % 4)) % 4).fill(0)];
    body.push(...padded);
    offset += padded.length;
  }
  const header = new Array<number>(128).fill(0);
  const put = (at: number, bytes: readonly number[]): void => {
    for (const [i, byte] of bytes.entries()) header[at + i] = byte;
  };
  put(0, uint32(offset));
  put(8, [version, version === 4 ? 0x30 : 0x10]);
  put(12, ascii('mntr'));
  put(16, ascii(space));
  put(20, ascii(connection));
  put(36, ascii('acsp'));
  put(68, [...uint32(0xf6d6), ...uint32(0x10000), ...uint32(0xd32d)]);
  return Buffer.from([...header, ...uint32(names.length), ...table, ...body]);
}

/** Colorants as published profiles of these spaces store them (XYZ, D50): Adobe RGB (1998), Display P3 and ROMM RGB from memory, sRGB from references of IEC 61966-2-1 adapted with Bradford. */
export const publishedColorants = {
  srgb: [
    [0.4360747, 0.2225045, 0.0139322],
    [0.3850649, 0.7168786, 0.0971045],
    [0.1430804, 0.0606169, 0.7141733],
  ],
  'adobe-rgb': [
    [0.60974, 0.31111, 0.01947],
    [0.20528, 0.62567, 0.06087],
    [0.14919, 0.06322, 0.74457],
  ],
  'display-p3': [
    [0.51512, 0.2412, -0.00105],
    [0.29198, 0.69225, 0.04189],
    [0.1571, 0.06657, 0.78407],
  ],
  'prophoto-rgb': [
    [0.79767, 0.28804, 0],
    [0.13519, 0.71188, 0],
    [0.03134, 0.00008, 0.82491],
  ],
} as const satisfies Record<string, readonly [Xyz, Xyz, Xyz]>;

export type PublishedSpace = keyof typeof publishedColorants;

const curves: Readonly<Record<PublishedSpace, CurveBytes>> = {
  srgb: srgbParametric,
  'adobe-rgb': gammaCurve(563 / 256),
  'display-p3': srgbParametric,
  'prophoto-rgb': gammaCurve(1.8),
};

/** A matrix profile of one of the spaces, under any name. */
export function matrixProfile(
  space: PublishedSpace,
  name: string,
  curve = curves[space],
  version: 2 | 4 = 4,
): Buffer {
  const [red, green, blue] = publishedColorants[space];
  return iccProfile({
    version,
    tags: {
      desc: version === 4 ? descriptionV4(name) : descriptionV2(name),
      wtpt: xyzTag([0.9642, 1, 0.8249]),
      rXYZ: xyzTag(red),
      gXYZ: xyzTag(green),
      bXYZ: xyzTag(blue),
      rTRC: curve,
      gTRC: curve,
      bTRC: curve,
    },
  });
}

/** `lut16Type` (10.10) from RGB to Lab (D50, the 16-bit coding of version 2), 17 steps a channel. */
export function labTable(labOf: (rgb: Xyz) => Xyz): Uint8Array {
  const steps = 17;
  const uint16 = (value: number): number[] => {
    const code = Math.min(65535, Math.max(0, Math.round(value)));
    return [code >> 8, code & 255];
  };
  const identity = [1, 0, 0, 0, 1, 0, 0, 0, 1].flatMap(fixed);
  const line = [0, 65535].flatMap(uint16);
  const body: number[] = [];
  for (let r = 0; r < steps; r++) {
    for (let g = 0; g < steps; g++) {
      for (let b = 0; b < steps; b++) {
        const [l, a, bb] = labOf([r / (steps - 1), g / (steps - 1), b / (steps - 1)]);
        body.push(...uint16(l * 652.8), ...uint16((a + 128) * 256), ...uint16((bb + 128) * 256));
      }
    }
  }
  const tables = [...line, ...line, ...line];
  return Uint8Array.from([
    ...ascii('mft2'),
    0,
    0,
    0,
    0,
    3,
    3,
    steps,
    0,
    ...identity,
    ...uint16(2),
    ...uint16(2),
    ...tables,
    ...body,
    ...tables,
  ]);
}

/** Puts a profile into a JPEG as its APP2 segment (ICC.1:2010 B.4), right after the start-of-image marker. */
export function withProfile(jpeg: Buffer, profile: Buffer): Buffer {
  const mark = Buffer.from('ICC_PROFILE\0\x01\x01', 'latin1');
  const size = 2 + mark.length + profile.length;
  const head = Buffer.from([0xff, 0xe2, size >> 8, size & 255]);
  return Buffer.concat([jpeg.subarray(0, 2), head, mark, profile, jpeg.subarray(2)]);
}

/** Puts a profile into a TIFF that has none: appends it and a copy of the first directory with tag 34675 (ICC.1:2010 B.3). */
export function tiffWithProfile(tiff: Buffer, profile: Buffer): Buffer {
  const directory = tiff.readUInt32LE(4);
  const count = tiff.readUInt16LE(directory);
  const entries = tiff.subarray(directory + 2, directory + 2 + 12 * count);
  const base = tiff.length + (tiff.length % 2);
  const entry = Buffer.alloc(12);
  entry.writeUInt16LE(34675, 0);
  entry.writeUInt16LE(7, 2);
  entry.writeUInt32LE(profile.length, 4);
  entry.writeUInt32LE(base, 8);
  const rows = [...Array(count).keys()].map((i) => entries.subarray(12 * i, 12 * i + 12)).concat(entry);
  rows.sort((a, b) => a.readUInt16LE(0) - b.readUInt16LE(0));
  const whole = Buffer.alloc(base + profile.length + (profile.length % 2));
  tiff.copy(whole);
  profile.copy(whole, base);
  const length = Buffer.alloc(2);
  length.writeUInt16LE(rows.length);
  whole.writeUInt32LE(whole.length, 4);
  return Buffer.concat([whole, length, ...rows, Buffer.alloc(4)]);
}
