import type { FrameResult } from '../../contracts/results.ts';

/** Parts of which every frame has a crop at 100 %, and a blur. */
export const parts = ['eyes', 'face', 'garment'] as const;
export type Part = (typeof parts)[number];

export interface Sharpest {
  readonly frame: string;
  /** Folder and file, relative to the output folder. */
  readonly contentHash: string;
  readonly file: string;
  readonly width: number;
  readonly height: number;
  readonly blurSigmaPx: number;
}
export type SharpestParts = Readonly<Partial<Record<Part, Sharpest>>>;

/** For each part the frame of the set that shows it sharpest, in px of its own size against its long edge, so that frames of two sizes compare. */
export function sharpestParts(frames: readonly FrameResult[]): SharpestParts {
  const best: Partial<Record<Part, Sharpest & { readonly relative: number }>> = {};
  for (const { id, measurement } of frames) {
    for (const part of parts) {
      const picture = measurement?.pictures.find(({ shows }) => shows === part);
      const blur = measurement?.sharpness[part];
      if (!measurement || !picture || !blur) continue;
      const relative = blur.blurSigmaPx / Math.max(measurement.file.width, measurement.file.height);
      if (relative >= (best[part]?.relative ?? Number.POSITIVE_INFINITY)) continue;
      const { file, width, height } = picture;
      best[part] = {
        frame: id,
        contentHash: measurement.contentHash,
        file,
        width,
        height,
        blurSigmaPx: blur.blurSigmaPx,
        relative,
      };
    }
  }
  return best;
}
