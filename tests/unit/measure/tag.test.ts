import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { prepareZXingModule, type WriteInputBarcodeFormat, writeBarcode } from 'zxing-wasm/full';
import type { Rgb8 } from '../../../pipeline/contracts/frame-image.ts';
import { readTag } from '../../../pipeline/measure/tag.ts';
import { seeded } from '../../helpers/shoot-day.ts';

/** Codes made by the library's own writer, laid into pictures as a camera would see them. */

beforeAll(() => {
  const { resolve } = createRequire(import.meta.url);
  const wasm = readFileSync(resolve('zxing-wasm/full/zxing_full.wasm'));
  const wasmBinary = wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.byteLength) as ArrayBuffer;
  prepareZXingModule({ overrides: { wasmBinary } });
});

const frame = { width: 1280, height: 853 } as const;

interface Look {
  readonly widthPx: number;
  readonly turnDeg?: number;
  readonly blurPx?: number;
}

async function picture(
  text: string,
  format: WriteInputBarcodeFormat,
  { widthPx, turnDeg = 0, blurPx }: Look,
): Promise<Rgb8> {
  const { image, error } = await writeBarcode(text, { format, scale: 6 });
  if (!image) throw new Error(error);
  // A paper margin, as a printed tag has: the quiet zone of the symbologies.
  const code = sharp(Buffer.from(await image.arrayBuffer())).resize({ width: widthPx });
  const paper = await code
    .extend({ top: 20, bottom: 20, left: 20, right: 20, background: '#fff' })
    .png()
    .toBuffer();
  const turned = await sharp(paper).rotate(turnDeg, { background: '#6d7f74' }).png().toBuffer();
  const whole = sharp({ create: { ...frame, channels: 3, background: '#6d7f74' } }).composite([
    { input: turned, left: 300, top: 120 },
  ]);
  const flat = sharp(await whole.png().toBuffer());
  const { data } = await (blurPx ? flat.blur(blurPx) : flat)
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { ...frame, data: new Uint8Array(data) };
}

describe('a photographed tag', () => {
  it.each([
    ['STYLE-0042', 'QRCode', { widthPx: 80 }],
    ['STYLE-0042', 'QRCode', { widthPx: 300, turnDeg: 20, blurPx: 1.5 }],
    ['STYLE-0042', 'QRCode', { widthPx: 300, turnDeg: 133 }],
    ['Größe 38 / блуза', 'QRCode', { widthPx: 300 }],
    ['STYLE-0042', 'DataMatrix', { widthPx: 120, turnDeg: 45 }],
    ['STYLE-0042', 'Code128', { widthPx: 420, turnDeg: 6 }],
    // EAN-13 with its check digit: the worked example of the GS1 General Specifications' kind (check digit by modulo 10).
    ['4006381333931', 'EAN13', { widthPx: 320 }],
  ] as const)('%s as %s, %o, is read', async (text, format, look) => {
    const tag = await readTag(await picture(text, format, look));
    expect(tag).toMatchObject({ text, symbology: format });
    expect(tag?.shareOfFrame).toBeGreaterThan(0.003);
    expect(tag?.shareOfFrame).toBeLessThan(0.15);
  });

  it('is not seen in stripes, checks and noise', async () => {
    const random = seeded(11);
    const noise = Array.from({ length: frame.width }, () => (random() < 0.5 ? 30 : 220));
    const weaves: readonly ((x: number, y: number) => number)[] = [
      (x) => (Math.floor(x / 4) % 2 ? 30 : 220),
      (x) => noise[x]!,
      (x, y) => (noise[x]! === noise[(7 * y) % frame.width] ? 30 : 220),
      () => Math.floor(256 * random()),
    ];
    for (const weave of weaves) {
      const data = new Uint8Array(3 * frame.width * frame.height);
      for (let y = 0; y < frame.height; y += 1)
        for (let x = 0; x < frame.width; x += 1)
          data.fill(weave(x, y), 3 * (y * frame.width + x), 3 * (y * frame.width + x) + 3);
      expect(await readTag({ ...frame, data })).toBeNull();
    }
  });

  it('is nothing in the smallest pictures', async () => {
    expect(await readTag({ width: 1, height: 1, data: new Uint8Array(3) })).toBeNull();
  });
});
