import type { FrameView } from '../contracts/check.ts';
import type { RegionSharpness } from '../contracts/measurement/sharpness.ts';

/** px of the frame's longer edge. */
export function longEdgePx(frame: FrameView): number {
  return Math.max(frame.measurement.file.width, frame.measurement.file.height);
}

/**
 * A length in native px as it is in the delivered picture, px.
 *
 * Lengths scale with the picture: times delivery long edge over native long edge. The rule is the same in both directions. A
 * larger frame is reduced and its blur with it; a smaller one would have to be enlarged and its blur with it, so a small frame is
 * never read as sharper than it will look. What resampling itself adds (about half a px at most) is left out both ways.
 * Rounded to 0.0001 px, far below what can be measured, so that a value on its limit is on it.
 */
export function atDeliveryPx(frame: FrameView, nativePx: number): number {
  return Math.round(((nativePx * frame.delivery.longEdgePx) / longEdgePx(frame)) * 1e4) / 1e4;
}

/** Blur of the softest measured part of the subject at delivery size, px; `null` where no part was measured. */
export function subjectBlurPx(frame: FrameView): number | null {
  const { eyes, face, garment } = frame.measurement.sharpness;
  const blurs = [eyes, face, garment]
    .filter((region): region is RegionSharpness => region !== null)
    .map(({ blurSigmaPx }) => atDeliveryPx(frame, blurSigmaPx));
  return blurs.length === 0 ? null : Math.max(...blurs);
}
