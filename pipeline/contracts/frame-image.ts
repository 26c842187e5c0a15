/** Decoded pixels. They live inside one worker for the time of one frame and never cross a process or a file. */

/** 8-bit RGB, interleaved, row after row: `data.length === 3 * width * height`. */
export interface Rgb8 {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** One coverage value a pixel, 0 (outside) to 255 (inside); spans the whole frame whatever its resolution. */
export interface Mask {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

export interface FrameImage {
  /** Native resolution, upright, in sRGB. */
  readonly srgb: Rgb8;
  /**
   * Native resolution, upright, RGB interleaved, in the file's own encoding: before any colour conversion and at the file's own depth.
   * The very same array as `srgb.data` where the file is 8-bit sRGB or carries no profile.
   */
  readonly encoded: { readonly data: Uint8Array | Uint16Array; readonly ceiling: 255 | 65535 };
  /** `srgb` reduced so that its long edge is at most `analysisLongEdgePx`, by averages to which every px adds and that do not ring; never enlarged. */
  readonly analysis: Rgb8;
}

/** Long edge of the reduced picture on which masks are made and statistics of large areas are taken. */
export const analysisLongEdgePx = 1280;
