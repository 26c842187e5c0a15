/** Whole pictures through our matrix conversion against Little CMS (inside sharp), culori and published numbers. */
import { converter } from 'culori';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { decodeFrame } from '../../../pipeline/decode/decode-frame.ts';
import { parseIcc } from '../../../pipeline/numeric/icc.ts';
import { connectionMatrix, knownSpaces, recogniseSpace } from '../../../pipeline/numeric/rgb-spaces.ts';
import { rgbToSrgb } from '../../../pipeline/numeric/rgb-to-srgb.ts';
import {
  type CurveBytes,
  descriptionV2,
  gammaCurve,
  iccProfile,
  labTable,
  matrixProfile,
  type PublishedSpace,
  parametricCurve,
  publishedColorants,
  sampledCurve,
  srgbParametric,
  tiffWithProfile,
  xyzTag,
} from '../../helpers/icc-maker.ts';

/** All mixtures of 17 codes a channel. */
const codes = Array.from({ length: 17 }, (_, i) => Math.min(255, i * 16));
const mixtures = codes.flatMap((r) => codes.flatMap((g) => codes.map((b) => [r, g, b] as const)));
const width = 17 * 17;
const height = 17;

async function tiff8(profile: Buffer): Promise<Buffer> {
  const raw = { width, height, channels: 3 as const };
  const plain = await sharp(Uint8Array.from(mixtures.flat()), { raw })
    .tiff({ compression: 'none' })
    .toBuffer();
  return tiffWithProfile(plain, profile);
}

/** The same colours at 16 bit: 65535 / 255 = 257. */
async function tiff16(profile: Buffer): Promise<Buffer> {
  const values = Uint16Array.from(mixtures.flat(), (code) => code * 257);
  const plain = await sharp(values, { raw: { width, height, channels: 3 } })
    .toColourspace('rgb16')
    .tiff({ compression: 'none' })
    .toBuffer();
  return tiffWithProfile(plain, profile);
}

/** What Little CMS makes of the same file, by way of libvips. */
async function byLibrary(file: Buffer): Promise<Uint8Array> {
  const { data } = await sharp(file)
    .toColourspace('srgb')
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true });
  return data;
}

function largestDifference(a: ArrayLike<number>, b: ArrayLike<number>): number {
  expect(a.length).toBe(b.length);
  let largest = 0;
  for (let i = 0; i < a.length; i++) largest = Math.max(largest, Math.abs(a[i]! - b[i]!));
  return largest;
}

const srgbDecode = (v: number): number => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);

const profiles: readonly (readonly [string, PublishedSpace, CurveBytes])[] = [
  ['Adobe RGB (1998), one gamma value', 'adobe-rgb', gammaCurve(563 / 256)],
  ['Display P3, parametric', 'display-p3', srgbParametric],
  ['Display P3, 1024 samples', 'display-p3', sampledCurve(1024, srgbDecode)],
  ['ProPhoto RGB, gamma 1.8', 'prophoto-rgb', gammaCurve(1.8)],
  ['ProPhoto RGB, with its straight toe', 'prophoto-rgb', parametricCurve(3, [1.8, 1, 0, 1 / 16, 1 / 32])],
  ['sRGB primaries, gamma 2.2', 'srgb', gammaCurve(2.2)],
  ['sRGB primaries, linear', 'srgb', gammaCurve(1)],
];

describe('against Little CMS', () => {
  it.each(profiles)('8 bit, %s: within one code', async (name, space, curve) => {
    const file = await tiff8(matrixProfile(space, name, curve));
    const { image } = await decodeFrame(file);
    expect([...image.encoded.data.slice(0, 300)]).toEqual(mixtures.flat().slice(0, 300));
    expect(largestDifference(image.srgb.data, await byLibrary(file))).toBeLessThanOrEqual(1);
  });

  // At 16 bit sharp itself goes by way of Display P3 and clips there, so the 8-bit file stays the reference.
  it.each(profiles)('16 bit, %s: within one code', async (name, space, curve) => {
    const profile = matrixProfile(space, name, curve);
    const { image, file } = await decodeFrame(await tiff16(profile));
    expect([image.encoded.ceiling, file.bitsPerChannel]).toEqual([65535, 16]);
    expect(largestDifference(image.srgb.data, await byLibrary(await tiff8(profile)))).toBeLessThanOrEqual(1);
  });
});

describe('profiles that hold a table go through Little CMS', () => {
  /** sRGB primaries under a gamma of 1.8, as a table to Lab (D50): CIE 15:2018 for Lab. */
  const labOf = (rgb: readonly [number, number, number]): readonly [number, number, number] => {
    const linear = rgb.map((v) => v ** 1.8);
    const white = [0.9642, 1, 0.8249];
    const [x = 0, y = 0, z = 0] = [0, 1, 2].map((row) => {
      const value =
        publishedColorants.srgb.reduce((sum, column, i) => sum + column[row]! * linear[i]!, 0) / white[row]!;
      return value > (6 / 29) ** 3 ? Math.cbrt(value) : value / (3 * (6 / 29) ** 2) + 4 / 29;
    });
    return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
  };
  const table = iccProfile({
    version: 2,
    connection: 'Lab ',
    tags: { desc: descriptionV2('Printer'), wtpt: xyzTag([0.9642, 1, 0.8249]), A2B0: labTable(labOf) },
  });

  // The table has 17 steps and Little CMS works on it at 8 bits; 16-bit files go by way of Display P3 and are clipped there.
  it.each([
    ['8 bit', tiff8, 6],
    ['16 bit', tiff16, 8],
  ] as const)('%s: near the matrix conversion of the same space', async (_, make, limit) => {
    const { image, file } = await decodeFrame(await make(table));
    expect(file).toMatchObject({ colourProfile: 'Printer', colourSpace: 'other', profileNameAgrees: null });
    const scale = image.encoded.ceiling / 255;
    expect([...image.encoded.data.slice(0, 3000)]).toEqual(
      mixtures
        .flat()
        .slice(0, 3000)
        .map((v) => v * scale),
    );
    const matrix = await decodeFrame(await tiff8(matrixProfile('srgb', 'x', gammaCurve(1.8))));
    expect(largestDifference(image.srgb.data, matrix.image.srgb.data)).toBeLessThanOrEqual(limit);
    expect(largestDifference(image.srgb.data, image.encoded.data)).toBeGreaterThan(15);
  });
});

describe('against culori, which knows the spaces without any profile', () => {
  const modes = { 'adobe-rgb': 'a98', 'display-p3': 'p3', 'prophoto-rgb': 'prophoto' } as const;
  it.each(Object.entries(modes))('%s: within one code', (space, mode) => {
    const toRgb = converter('rgb');
    const expected = mixtures.flatMap(([r, g, b]) => {
      const out = toRgb({ mode, r: r / 255, g: g / 255, b: b / 255 });
      return [out.r, out.g, out.b].map((v) => Math.round(255 * Math.min(1, Math.max(0, v))));
    });
    const parsed = parseIcc(matrixProfile(space as PublishedSpace, 'any name'));
    if (!parsed.ok) throw new Error(parsed.problem);
    const { colorants, curves } = parsed.profile;
    const data = Uint8Array.from(mixtures.flat());
    const actual = rgbToSrgb({ data, ceiling: 255 }, colorants, curves ?? []);
    // ROMM RGB's straight toe (culori) and plain gamma 1.8 (the profile) part by up to three codes near black.
    const bright = (values: readonly number[] | Uint8Array) =>
      [...values].filter((_, i) => Math.min(...mixtures[Math.floor(i / 3)]!) >= 16);
    const limit = mode === 'prophoto' ? 2 : 1;
    expect(largestDifference(bright(actual), bright(expected))).toBeLessThanOrEqual(limit);
  });
});

describe('published numbers', () => {
  /** IEC 61966-2-1 primaries adapted to D50 with Bradford; 7 decimals as widely published. */
  it('stores sRGB as XYZ (D50) to 0.0001', () => {
    const stored = [
      [0.4360747, 0.3850649, 0.1430804],
      [0.2225045, 0.7168786, 0.0606169],
      [0.0139322, 0.0971045, 0.7141733],
    ];
    for (const [i, row] of connectionMatrix('srgb').entries()) {
      expect(largestDifference(row, stored[i]!)).toBeLessThan(0.0003);
    }
  });

  it('white of every space is the white of the connection space (ICC.1:2010 7.2.16)', () => {
    for (const space of knownSpaces) {
      const white = connectionMatrix(space).map(([r, g, b]) => r + g + b);
      expect(largestDifference(white, [0.9642, 1, 0.8249])).toBeLessThan(1e-9);
    }
  });

  it.each(Object.keys(publishedColorants) as PublishedSpace[])(
    'recognises published colorants of %s',
    (space) => {
      const parsed = parseIcc(matrixProfile(space, 'x'));
      if (!parsed.ok) throw new Error(parsed.problem);
      expect(recogniseSpace(parsed.profile.colorants!, parsed.profile.curves!)).toBe(space);
    },
  );

  /** The free Little CMS sRGB profile as exiftool prints it. */
  it('recognises sRGB as Little CMS rounds it, and not with a plain gamma of 2.2', () => {
    const stored = [
      [0.43585, 0.22238, 0.01392],
      [0.38533, 0.71704, 0.09714],
      [0.14302, 0.06059, 0.71384],
    ] as const;
    expect(recogniseSpace(stored, [srgbDecode])).toBe('srgb');
    expect(recogniseSpace(stored, [(v) => v ** 2.2])).toBeNull();
    expect(recogniseSpace(stored, [(v) => v])).toBeNull();
    expect(recogniseSpace([[0.4372, 0.22238, 0.01392], stored[1], stored[2]], [srgbDecode])).toBeNull();
  });

  /** Worked by hand: (128/255)^(563/256) = 0.21965; sRGB encodes that as 0.50631, code 129.1. */
  it('a mid grey in Adobe RGB becomes code 129', () => {
    const parsed = parseIcc(matrixProfile('adobe-rgb', 'x'));
    if (!parsed.ok) throw new Error(parsed.problem);
    const { colorants, curves } = parsed.profile;
    expect([...rgbToSrgb({ data: Uint8Array.of(128, 128, 128), ceiling: 255 }, colorants, curves!)]).toEqual([
      129, 129, 129,
    ]);
  });
});
