/** The part of a frame around one subject at a modest resolution: where parts of the body are told apart. */
import type { Box } from '../../contracts/box.ts';
import type { Rgb8 } from '../../contracts/frame-image.ts';
import { clipBox, growBox } from '../../numeric/boxes.ts';
import { linearOfByte } from '../../numeric/colour/srgb.ts';
import { type PxRectangle, resample } from '../../numeric/resample.ts';

export interface Patch {
  /** px of the picture that the patch spans. */
  readonly region: PxRectangle;
  readonly columns: number;
  readonly rows: number;
  /** Patch cells per px of the picture, at most 1. */
  readonly scale: number;
  /**
   * Three values a cell: lightness 0..1 (cube root of luminance), then the natural logarithms of red to green and of blue to
   * green in linear light, which a change of brightness leaves alone.
   */
  readonly tint: Float32Array;
}

/** Longest side of a patch in cells. 448 instead moves the garment's overlap with the labels by less than 0.001. */
const longestSide = 352;
/** Room around the subject's box for hair, hems and hands that it cuts. */
const growth = 0.06;
/** About the noise of an 8-bit px in linear light: keeps the logarithms of near-black px from running away. */
const noiseFloor = 0.01;

export function cutPatch(image: Rgb8, box: Box): Patch {
  const [x, y, width, height] = clipBox(
    growBox(
      [box[0] * image.width, box[1] * image.height, box[2] * image.width, box[3] * image.height],
      growth,
    ),
    image.width,
    image.height,
  );
  const scale = Math.min(1, longestSide / Math.max(width, height));
  const columns = Math.max(1, Math.round(width * scale));
  const rows = Math.max(1, Math.round(height * scale));
  const region = { x, y, width: Math.max(1, width), height: Math.max(1, height) };
  const tint = resample(image, region, columns, rows);
  for (let at = 0; at < tint.length; at += 3) {
    const red = linearOfByte[Math.round(tint[at]!)]!;
    const green = linearOfByte[Math.round(tint[at + 1]!)]!;
    const blue = linearOfByte[Math.round(tint[at + 2]!)]!;
    tint[at] = Math.cbrt(0.2126 * red + 0.7152 * green + 0.0722 * blue);
    tint[at + 1] = Math.log((red + noiseFloor) / (green + noiseFloor));
    tint[at + 2] = Math.log((blue + noiseFloor) / (green + noiseFloor));
  }
  return { region, columns, rows, scale, tint };
}
