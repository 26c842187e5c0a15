/** Reads the QR or bar code of a photographed garment tag. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import { cleanText } from '../contracts/clean-text.ts';
import type { Rgb8 } from '../contracts/frame-image.ts';
import type { Tag } from '../contracts/measurement/tag.ts';

/** Codes with check digits or error correction: others read stripes of cloth as text. */
const formats = ['QRCode', 'DataMatrix', 'Code128', 'EAN13', 'UPCA'] as const;
/** Rows of a bar code that must agree: the library's default of 2 is for clean scans. */
const agreeingRows = 4;

const { resolve } = createRequire(import.meta.url);
let ready: Promise<unknown> | undefined;

/** The library would fetch its WebAssembly from the network; it is given the package's own file. */
async function prepare(): Promise<unknown> {
  const bytes = await readFile(resolve('zxing-wasm/reader/zxing_reader.wasm'));
  const wasmBinary = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer;
  return prepareZXingModule({ overrides: { wasmBinary }, fireImmediately: true });
}

/**
 * The picture as a portable grey map (netpbm's P5), which the library takes as it is: it makes grey of colours anyway, with these weights
 * of ITU-R BT.601-7, 2.5.1, in 1024ths.
 */
function greyMap({ width, height, data }: Rgb8): Uint8Array {
  const header = Buffer.from(`P5 ${width} ${height} 255\n`);
  const map = new Uint8Array(header.length + width * height);
  map.set(header);
  for (let from = 0, to = header.length; to < map.length; from += 3, to++) {
    map[to] = (306 * data[from]! + 601 * data[from + 1]! + 117 * data[from + 2]! + 512) >> 10;
  }
  return map;
}

interface Corner {
  readonly x: number;
  readonly y: number;
}

/** Area of a polygon by its corners, px² (shoelace formula). */
function area(corners: readonly Corner[]): number {
  const doubled = corners.reduce((sum, { x, y }, index) => {
    const next = corners[(index + 1) % corners.length]!;
    return sum + x * next.y - next.x * y;
  }, 0);
  return Math.abs(doubled) / 2;
}

/**
 * @param picture the reduced picture (long edge up to 1280 px): a QR code of 25 modules is read from about 60 px wide.
 * @returns the largest code of the frame, `null` where none can be read.
 */
export async function readTag(picture: Rgb8): Promise<Tag | null> {
  ready ??= prepare();
  await ready;
  const found = await readBarcodes(greyMap(picture), {
    formats: [...formats],
    tryHarder: true,
    minLineCount: agreeingRows,
    maxNumberOfSymbols: 4,
  });
  const tags = found.flatMap(({ isValid, text, format, position }): Tag[] => {
    const cleaned = cleanText(text, 80);
    if (!isValid || cleaned === '') return [];
    const corners = [position.topLeft, position.topRight, position.bottomRight, position.bottomLeft];
    const shareOfFrame = Math.min(1, area(corners) / (picture.width * picture.height));
    return [{ text: cleaned, symbology: format, shareOfFrame }];
  });
  return tags.reduce<Tag | null>(
    (largest, tag) => (tag.shareOfFrame > (largest?.shareOfFrame ?? -1) ? tag : largest),
    null,
  );
}
