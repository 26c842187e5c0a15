import {
  analysisLongEdgePx,
  type FrameImage,
  type Mask,
  type Rgb8,
} from '../../pipeline/contracts/frame-image.ts';
import type { Capture } from '../../pipeline/contracts/measurement/file.ts';
import type { Regions } from '../../pipeline/contracts/regions.ts';

export type Codes = readonly [number, number, number];

/** A picture whose px are the 8-bit codes that `paint` returns. */
export function madePicture(width: number, height: number, paint: (x: number, y: number) => Codes): Rgb8 {
  const data = new Uint8Array(3 * width * height);
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i += 3) data.set(paint(x, y), i);
  }
  return { width, height, data };
}

/** A frame that carries no profile, reduced like a decoded one (mean of encoded codes). */
export function madeFrame(width: number, height: number, paint: (x: number, y: number) => Codes): FrameImage {
  return frameOf(madePicture(width, height, paint));
}

export function frameOf(srgb: Rgb8): FrameImage {
  return { srgb, encoded: { data: srgb.data, ceiling: 255 }, analysis: reduced(srgb) };
}

/** A mask of the size of the frame's analysis picture; `inside` gets the cell's column and row. */
export function madeMask(frame: FrameImage, inside: (x: number, y: number) => boolean): Mask {
  const { width, height } = frame.analysis;
  const data = new Uint8Array(width * height);
  for (let i = 0; i < data.length; i++) data[i] = inside(i % width, Math.floor(i / width)) ? 255 : 0;
  return { width, height, data };
}

export const noRegions: Regions = {
  subject: null,
  garment: null,
  skin: null,
  faces: [],
  background: null,
  reason: {},
};

export const noCapture: Capture = {
  takenAt: null,
  make: null,
  model: null,
  serial: null,
  lens: null,
  fNumber: null,
  exposureTimeS: null,
  iso: null,
  focalLengthMm: null,
  focalLength35mm: null,
  flashFired: null,
  whiteBalance: null,
  colourTemperatureK: null,
};

function reduced(picture: Rgb8): Rgb8 {
  const scale = analysisLongEdgePx / Math.max(picture.width, picture.height);
  if (scale >= 1) return picture;
  const width = Math.max(1, Math.round(picture.width * scale));
  const height = Math.max(1, Math.round(picture.height * scale));
  const sums = new Float64Array(3 * width * height);
  const counts = new Int32Array(width * height);
  for (let y = 0, i = 0; y < picture.height; y++) {
    const row = Math.floor((y * height) / picture.height) * width;
    for (let x = 0; x < picture.width; x++, i += 3) {
      const cell = row + Math.floor((x * width) / picture.width);
      for (let channel = 0; channel < 3; channel++) sums[3 * cell + channel]! += picture.data[i + channel]!;
      counts[cell]!++;
    }
  }
  return {
    width,
    height,
    data: Uint8Array.from(sums, (sum, i) => Math.round(sum / counts[Math.floor(i / 3)]!)),
  };
}
