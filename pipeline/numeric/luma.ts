// Luma of rectangles of a picture, at native or reduced resolution.

import { alignment, bytesAt, floatsAt, kernels, Room } from '../kernels/kernels.ts';

/** One plane of luma, row after row, 0..255 whatever the sample type. */
export interface LumaPlane {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}

/** A rectangle of luma cut from a picture: sample (0, 0) is centred on native px (`x`, `y`), samples are `scale` px apart. */
export interface LumaTile extends LumaPlane {
  readonly x: number;
  readonly y: number;
  readonly scale: number;
}

/**
 * Samples for one tile after the other: some hundred tiles a frame with arrays of their own would make as much to collect as the frame
 * itself. A tile holds until the next one is put into its room.
 */
export class TileRoom {
  private samples = new Float32Array(0);

  /** @returns so many samples, of any content. */
  take(count: number): Float32Array {
    if (this.samples.length < count) this.samples = new Float32Array(count);
    return this.samples.subarray(0, count);
  }
}

interface Pixels {
  readonly width: number;
  readonly height: number;
  readonly data: ArrayLike<number>;
}

/**
 * Luma Y' of a rectangle, clipped to the picture. `samples` is 3 for interleaved RGB and 1 for a plane that is luma already.
 * Weights: ITU-R BT.709-6, 3.2, applied to the encoded (not the linear) values.
 *
 * @param room for the samples; default an array of their own.
 */
export function cutLuma(
  pixels: Pixels,
  samples: 1 | 3,
  left: number,
  top: number,
  right: number,
  bottom: number,
  room = new TileRoom(),
): LumaTile {
  const x0 = Math.max(0, Math.floor(left));
  const y0 = Math.max(0, Math.floor(top));
  const width = Math.max(0, Math.min(pixels.width, Math.ceil(right)) - x0);
  const height = Math.max(0, Math.min(pixels.height, Math.ceil(bottom)) - y0);
  const data = room.take(width * height);
  const source = pixels.data;
  if (samples === 3 && source instanceof Uint8Array) {
    cutBytes(source, pixels.width, x0, y0, width, data);
    return { x: x0, y: y0, scale: 1, width, height, data };
  }
  let to = 0;
  for (let y = 0; y < height; y++) {
    let from = ((y0 + y) * pixels.width + x0) * samples;
    if (samples === 3) {
      for (let x = 0; x < width; x++, from += 3) {
        data[to++] = 0.2126 * source[from]! + 0.7152 * source[from + 1]! + 0.0722 * source[from + 2]!;
      }
    } else {
      for (let x = 0; x < width; x++) data[to++] = source[from++]!;
    }
  }
  return { x: x0, y: y0, scale: 1, width, height, data };
}

/** Bytes of RGB that lie in the kernels' memory at a time. */
const bandBytes = 2 ** 17;

/** Luma of the rectangle of `source`, 8-bit RGB `columns` px wide, that begins at (`left`, `top`), is `width` px wide and fills `into`. */
function cutBytes(
  source: Uint8Array,
  columns: number,
  left: number,
  top: number,
  width: number,
  into: Float32Array,
): void {
  if (into.length === 0) return;
  const height = into.length / width;
  const bandRows = Math.min(height, Math.max(1, Math.floor(bandBytes / (3 * width))));
  const room = new Room();
  const rgb = room.take(3 * bandRows * width + alignment);
  const luma = room.take(4 * bandRows * width + alignment);
  const bytes = bytesAt(rgb, 3 * bandRows * width);
  const floats = floatsAt(luma, bandRows * width);
  for (let row = 0; row < height; row += bandRows) {
    const rows = Math.min(bandRows, height - row);
    for (let y = 0; y < rows; y++) {
      const start = 3 * ((top + row + y) * columns + left);
      bytes.set(source.subarray(start, start + 3 * width), 3 * y * width);
    }
    kernels.lumaOfBytes(rgb, rows * width, luma);
    into.set(rows === bandRows ? floats : floats.subarray(0, rows * width), row * width);
  }
}

/** The tile at half the resolution: the mean of each 2 x 2 block; an odd last row or column is left out. */
export function halveTile(tile: LumaTile, room = new TileRoom()): LumaTile {
  const width = tile.width >> 1;
  const height = tile.height >> 1;
  const data = room.take(width * height);
  const source = tile.data;
  for (let y = 0; y < height; y++) {
    let from = 2 * y * tile.width;
    for (let x = 0; x < width; x++, from += 2) {
      data[y * width + x] =
        0.25 *
        (source[from]! + source[from + 1]! + source[from + tile.width]! + source[from + tile.width + 1]!);
    }
  }
  const shift = tile.scale / 2;
  return { x: tile.x + shift, y: tile.y + shift, scale: 2 * tile.scale, width, height, data };
}
