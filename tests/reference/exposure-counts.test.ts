import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import type { FrameImage, Mask } from '../../pipeline/contracts/frame-image.ts';
import { measureExposure } from '../../pipeline/measure/exposure.ts';
import { linearOfByte } from '../../pipeline/numeric/colour/srgb.ts';
import { seededRandom } from '../../pipeline/numeric/statistics.ts';
import { frameOf, madeFrame, madeMask, noCapture, noRegions } from '../helpers/made-frame.ts';

/** Px that libvips (through sharp) counts: bands compared with a threshold, joined with a bitwise operation, cut by the mask. */
async function countedByLibvips(
  frame: FrameImage,
  mask: Mask | null,
  { negate, join }: { negate: boolean; join: 'or' | 'and' },
): Promise<number> {
  const { width, height } = frame.srgb;
  const raw = { width, height, channels: 3 as const };
  const source = Buffer.from(frame.srgb.data);
  const upright = negate ? await sharp(source, { raw }).negate().raw().toBuffer() : source;
  const bands = await sharp(upright, { raw }).threshold(255, { grayscale: false }).raw().toBuffer();
  const joined = await sharp(bands, { raw }).bandbool(join).raw().toBuffer({ resolveWithObject: true });
  const region = mask ?? { width: 1, height: 1, data: Uint8Array.of(255) };
  const cut = await sharp(Buffer.from(region.data), {
    raw: { width: region.width, height: region.height, channels: 1 },
  })
    .resize(width, height, { kernel: 'nearest', fit: 'fill' })
    .toColourspace('srgb')
    .boolean(joined.data, 'and', { raw: { width, height, channels: joined.info.channels as 3 } })
    .raw()
    .toBuffer({ resolveWithObject: true });
  const { channels } = await sharp(cut.data, {
    raw: { width, height, channels: cut.info.channels as 3 },
  }).stats();
  return channels[0]!.sum / 255;
}

describe('counts against libvips, px by px', () => {
  /** Noise with every fourth code at an end, so that all combinations of clipped channels occur. */
  const random = seededRandom(11);
  const code = () => {
    const value = random();
    if (value < 0.15) return 255;
    return value < 0.3 ? 0 : 1 + Math.floor(random() * 254);
  };
  /** 1281 px wide: not a multiple of four, and wider than the analysis picture. */
  const frame = madeFrame(1281, 301, () => [code(), code(), code()]);
  const native = { width: 1281, height: 301 };
  const { width, height } = frame.analysis;

  it('is about a frame that is larger than its analysis picture', () => expect(width).toBe(1280));

  it('frame', async () => {
    const exposure = measureExposure(frame, noRegions, noCapture);
    const px = native.width * native.height;
    expect(exposure.clippedShare.frame * px).toBeCloseTo(
      await countedByLibvips(frame, null, { negate: false, join: 'or' }),
      6,
    );
    expect(exposure.clippedThreeShare.frame * px).toBeCloseTo(
      await countedByLibvips(frame, null, { negate: false, join: 'and' }),
      6,
    );
  });

  it('garment, cut out of a frame of the same size', async () => {
    const small = madeFrame(320, 200, () => [code(), code(), code()]);
    const garment = madeMask(small, (x, y) => (x - 160) ** 2 + (y - 100) ** 2 < 80 ** 2);
    const px = garment.data.filter((value) => value === 255).length;
    const exposure = measureExposure(small, { ...noRegions, garment }, noCapture);
    expect(exposure.clippedShare.garment! * px).toBeCloseTo(
      await countedByLibvips(small, garment, { negate: false, join: 'or' }),
      6,
    );
    expect(exposure.clippedThreeShare.garment! * px).toBeCloseTo(
      await countedByLibvips(small, garment, { negate: false, join: 'and' }),
      6,
    );
    expect(exposure.blockedShare! * px).toBeCloseTo(
      await countedByLibvips(small, garment, { negate: true, join: 'and' }),
      6,
    );
  });

  it('16 bit: only the very ceiling counts', () => {
    const srgb = { width: 4, height: 1, data: new Uint8Array(12).fill(255) };
    const data = Uint16Array.from([65535, 9, 9, 65534, 65534, 65534, 65280, 0, 0, 65535, 65535, 65535]);
    const frame16: FrameImage = { ...frameOf(srgb), encoded: { data, ceiling: 65535 } };
    const exposure = measureExposure(frame16, noRegions, noCapture);
    expect(exposure.clippedShare.frame).toBe(0.5);
    expect(exposure.clippedThreeShare.frame).toBe(0.25);
    expect(height).toBeGreaterThan(0);
  });

  it("counts in the file's own encoding, not after conversion", () => {
    const white = madeFrame(8, 8, () => [255, 255, 255]);
    const encoded = { data: new Uint8Array(192).fill(250), ceiling: 255 as const };
    expect(measureExposure({ ...white, encoded }, noRegions, noCapture).clippedShare.frame).toBe(0);
  });
});

describe('counts on pictures built for them', () => {
  /** 200 x 100 garment; a 40 x 30 patch without red and green detail, ten single glints. All numbers by hand. */
  const frame = madeFrame(400, 300, (x, y) => {
    if (x >= 150 && x < 190 && y >= 120 && y < 150) return [255, 255, 200 + ((x + y) % 2) * 20];
    if (y === 110 && x >= 120 && x < 220 && x % 10 === 0) return [255, 255, 255];
    if (y === 190 && x < 130) return [0, 0, 0];
    return [180, 170, 160];
  });
  const garment = madeMask(frame, (x, y) => x >= 100 && x < 300 && y >= 100 && y < 200);
  const exposure = measureExposure(frame, { ...noRegions, garment }, noCapture);

  it('shares', () => {
    expect(exposure.clippedShare.garment).toBeCloseTo(1210 / 20000, 12);
    expect(exposure.clippedTwoShare.garment).toBeCloseTo(1210 / 20000, 12);
    expect(exposure.clippedThreeShare.garment).toBeCloseTo(10 / 20000, 12);
    expect(exposure.clippedShare.frame).toBeCloseTo(1210 / 120000, 12);
    expect(exposure.clippedShare.skin).toBeNull();
    expect(exposure.reason['clippedShare.skin']).toMatch(/skin/i);
  });

  it('tells lost cloth from glints', () => {
    expect(exposure.largestClippedBlobShare).toBeCloseTo(1200 / 20000, 12);
    expect(exposure.largestClippedBlobBox).toEqual([150 / 400, 120 / 300, 40 / 400, 30 / 300]);
    expect(exposure.lostClothShare).toBeCloseTo(1200 / 20000, 12);
    // The ten glints are clipped in all channels, but they are no cloth.
    expect(exposure.lostClothTwoShare).toBeCloseTo(1200 / 20000, 12);
    expect(exposure.clippedTwoShare.garment).toBeGreaterThan(exposure.lostClothTwoShare!);
    expect(exposure.specularPoints).toEqual({ count: 10, share: 10 / 20000 });
  });

  it('sees the texture that the third channel still draws: steps of 20 codes', () => {
    expect(exposure.largestClippedBlobTexture).toBeCloseTo(20, 9);
  });

  it('blocked', () => {
    expect(exposure.blockedShare).toBeCloseTo(30 / 20000, 12);
    expect(exposure.largestBlockedBlobShare).toBeCloseTo(30 / 20000, 12);
  });

  it('white and black cloth with detail in it are not at fault', () => {
    for (const level of [250, 4]) {
      const cloth = madeFrame(100, 100, (x) => [level, level - (x % 3), level]);
      const all = madeMask(cloth, () => true);
      const measured = measureExposure(cloth, { ...noRegions, garment: all }, noCapture);
      expect(measured.clippedShare.garment).toBe(0);
      expect(measured.lostClothShare).toBe(0);
      expect(measured.blockedShare).toBe(0);
    }
  });

  it('a blank patch has no texture', () => {
    const blank = madeFrame(50, 50, () => [255, 255, 255]);
    const all = madeMask(blank, () => true);
    const measured = measureExposure(blank, { ...noRegions, garment: all }, noCapture);
    expect(measured.largestClippedBlobTexture).toBe(0);
    expect(measured.lostClothShare).toBe(1);
  });
});

describe('brightness', () => {
  const codeOf = (linear: number) => linearOfByte.findIndex((value) => value >= linear);

  /** CIE 15: L* 50 is Y 0.1842, the 18 % grey card; code 119 in sRGB is L* 50.03 (CIE formula by hand). */
  it('of an 18 % grey skin', () => {
    const frame = madeFrame(64, 64, () => [119, 119, 119]);
    const skin = madeMask(frame, () => true);
    const exposure = measureExposure(frame, { ...noRegions, skin }, noCapture);
    expect(exposure.subjectLuma).toBeCloseTo(50.03, 1);
    expect(exposure.skinLuma).toBe(exposure.subjectLuma);
    expect(exposure.garmentLuma).toBeNull();
  });

  /**
   * Stops are log2 of a ratio of light. EV table (EV = log2(N^2 / t)): f/8 to f/5.6 is one stop. Inverse square law: a flash at twice
   * the distance is 2 stops weaker, at 1.414 times 1 stop, at 4 times 4 stops.
   */
  it.each([
    [Math.SQRT2, -1],
    [2, -2],
    [3, -3.17],
    [4, -4],
  ])('background lit by a flash %f times as far away', (distance, stops) => {
    const near = 0.6;
    const far = codeOf(near / distance ** 2);
    const frame = madeFrame(64, 64, (x) =>
      x < 32 ? [codeOf(near), codeOf(near), codeOf(near)] : [far, far, far],
    );
    const skin = madeMask(frame, (x) => x < 32);
    const background = madeMask(frame, (x) => x >= 32);
    const exposure = measureExposure(frame, { ...noRegions, skin, background }, noCapture);
    /** One 8-bit code is worth up to 0.08 stop this deep in the shade. */
    expect(Math.abs(exposure.backgroundEvDifference! - stops)).toBeLessThan(0.08);
  });

  it('takes skin before cloth, and says what it lacks', () => {
    const frame = madeFrame(64, 64, (x) => (x < 32 ? [119, 119, 119] : [30, 30, 30]));
    const skin = madeMask(frame, (x) => x < 32);
    const garment = madeMask(frame, (x) => x >= 32);
    const both = measureExposure(frame, { ...noRegions, skin, garment }, noCapture);
    expect(both.subjectLuma).toBe(both.skinLuma);
    const cloth = measureExposure(frame, { ...noRegions, garment }, noCapture);
    expect(cloth.subjectLuma).toBe(cloth.garmentLuma);
    const nobody = measureExposure(
      frame,
      { ...noRegions, reason: { garment: 'Nobody is there.' } },
      noCapture,
    );
    expect(nobody.subjectLuma).toBeNull();
    expect(nobody.backgroundEvDifference).toBeNull();
    expect(nobody.reason.lostClothShare).toBe('Nobody is there.');
    expect(Object.keys(nobody.reason)).toEqual(
      expect.arrayContaining([
        'subjectLuma',
        'skinLuma',
        'backgroundLuma',
        'backgroundEvDifference',
        'flashBand',
      ]),
    );
  });
});
