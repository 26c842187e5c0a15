/** Clipped patches of the garment: which are lost cloth and which the glint of a button, and what is left to see in the largest. */
import type { Box } from '../../contracts/box.ts';
import type { FrameImage } from '../../contracts/frame-image.ts';
import { type Blob, blobsOfRuns, type Runs } from '../../numeric/blobs.ts';

/**
 * A patch below this share of the garment counts as a glint. A blouse button is 11 mm across (18 lignes) and covers about 1 square
 * centimetre; the visible side of a garment about 3,000 (common practice, both). A share, so that it holds at every distance.
 */
export const largestGlintShare = 1 / 3000;

export interface LostCloth {
  readonly largestShare: number;
  readonly largestBox: Box | null;
  readonly largestTexture: number | null;
  readonly lostShare: number;
  /** Of it, what has at least two channels at the ceiling. */
  readonly lostTwoShare: number;
  readonly glints: { readonly count: number; readonly share: number };
}

/** @param garmentPx native px of the garment, more than 0 */
export function lostCloth(image: FrameImage, clipped: Runs, garmentPx: number): LostCloth {
  const { blobs, blobOfRun } = blobsOfRuns(clipped);
  const isGlint = (blob: Blob) => blob.areaPx < largestGlintShare * garmentPx;
  const glints = blobs.filter(isGlint);
  const area = (of: readonly Blob[]) => of.reduce((sum, { areaPx }) => sum + areaPx, 0);
  const largest = blobs[0];
  const isLost = (run: number) => !isGlint(blobs[blobOfRun[run]!]!);
  return {
    largestShare: (largest?.areaPx ?? 0) / garmentPx,
    largestBox: largest === undefined ? null : boxOf(largest, image.srgb.width, image.srgb.height),
    largestTexture: largest === undefined ? null : textureOf(image, clipped, (run) => blobOfRun[run] === 0),
    lostShare: area(blobs.filter((blob) => !isGlint(blob))) / garmentPx,
    lostTwoShare: clippedTwicePx(image, clipped, isLost) / garmentPx,
    glints: { count: glints.length, share: area(glints) / garmentPx },
  };
}

export function largestBlobShare(runs: Runs, regionPx: number): number {
  return (blobsOfRuns(runs).blobs[0]?.areaPx ?? 0) / regionPx;
}

/** Px of the wanted runs with at least two channels at the ceiling. */
function clippedTwicePx(image: FrameImage, runs: Runs, wanted: (run: number) => boolean): number {
  const { data, ceiling } = image.encoded;
  let px = 0;
  for (let run = 0; run < runs.count; run++) {
    if (!wanted(run)) continue;
    const rowStart = runs.row[run]! * image.srgb.width;
    for (let i = 3 * (rowStart + runs.start[run]!); i < 3 * (rowStart + runs.end[run]!); i += 3) {
      const channels =
        (data[i] === ceiling ? 1 : 0) + (data[i + 1] === ceiling ? 1 : 0) + (data[i + 2] === ceiling ? 1 : 0);
      if (channels >= 2) px++;
    }
  }
  return px;
}

/**
 * Root mean square step between horizontal neighbours inside the runs, in codes of 8 bits, for the channel with the fewest px at the
 * ceiling: where one channel still draws folds and seams the cloth is not lost.
 */
function textureOf(image: FrameImage, runs: Runs, wanted: (run: number) => boolean): number {
  const { data, ceiling } = image.encoded;
  const { width } = image.srgb;
  const atCeiling = [0, 0, 0];
  const squares = [0, 0, 0];
  let steps = 0;
  for (let run = 0; run < runs.count; run++) {
    if (!wanted(run)) continue;
    for (let x = runs.start[run]!; x < runs.end[run]!; x++) {
      const i = 3 * (runs.row[run]! * width + x);
      const inside = x + 1 < runs.end[run]!;
      if (inside) steps++;
      for (let channel = 0; channel < 3; channel++) {
        const value = data[i + channel]!;
        if (value === ceiling) atCeiling[channel]!++;
        if (inside) squares[channel]! += (data[i + channel + 3]! - value) ** 2;
      }
    }
  }
  const channel = atCeiling.indexOf(Math.min(...atCeiling));
  return steps === 0 ? 0 : (255 / ceiling) * Math.sqrt(squares[channel]! / steps);
}

function boxOf(blob: Blob, widthPx: number, heightPx: number): Box {
  return [
    blob.left / widthPx,
    blob.top / heightPx,
    (blob.right - blob.left) / widthPx,
    (blob.bottom - blob.top) / heightPx,
  ];
}
