/** Exposure of one frame, counted in the file's own encoding and, for brightness, in linear light of the analysis picture. */
import type { FrameImage, Mask } from '../contracts/frame-image.ts';
import type { Exposure, FlashBand } from '../contracts/measurement/exposure.ts';
import type { Capture } from '../contracts/measurement/file.ts';
import type { Regions } from '../contracts/regions.ts';
import { lightnessOfLuminance } from '../numeric/colour/lab.ts';
import { type ClippedCounts, countClipping } from './exposure/clipping.ts';
import { findFlashBand } from './exposure/flash-band.ts';
import { histogramOf } from './exposure/histogram.ts';
import { medianLuminance } from './exposure/lightness.ts';
import { largestBlobShare, lostCloth } from './exposure/lost-cloth.ts';
import { regionMap } from './exposure/region-map.ts';

/**
 * Measures one frame. Regions that are `null` or empty leave their quantities `null`, each with a reason.
 * @throws RangeError where a mask has not the size of the analysis picture.
 */
export function measureExposure(image: FrameImage, regions: Regions, capture: Capture): Exposure {
  const { width, height } = image.srgb;
  const reason: Record<string, string> = {};
  const map = regionMap(regions.garment, regions.skin, width, height);
  const counted = countClipping(image, map);
  const cloth = map.garmentPx > 0 ? lostCloth(image, counted.clippedGarment, map.garmentPx) : null;

  const shares = (place: 0 | 1 | 2) => ({
    garment: shareOf(counted.garment, place, map.garmentPx),
    skin: shareOf(counted.skin, place, map.skinPx),
    frame: counted.frame[place] / (width * height),
  });
  if (cloth === null) {
    const because = regions.reason.garment ?? 'No cloth of a model was found in the frame.';
    for (const name of [
      'clippedShare.garment',
      'largestClippedBlobShare',
      'lostClothShare',
      'lostClothTwoShare',
      'blockedShare',
      'garmentLuma',
    ]) {
      reason[name] = because;
    }
  }
  if (map.skinPx === 0) {
    const because = regions.reason.skin ?? 'No skin of a model was found in the frame.';
    reason['clippedShare.skin'] = because;
    reason.skinLuma = because;
  }

  const skin = luminanceOf(image, regions.skin);
  const garment = luminanceOf(image, regions.garment);
  const background = luminanceOf(image, regions.background);
  const subject = skin ?? garment;
  if (subject === null) reason.subjectLuma = 'Neither skin nor cloth of a model was found in the frame.';
  if (background === null) {
    reason.backgroundLuma = regions.reason.background ?? 'No background was found in the frame.';
  }
  const comparable = subject !== null && background !== null && subject > 0 && background > 0;
  if (!comparable) {
    reason.backgroundEvDifference =
      reason.subjectLuma ?? reason.backgroundLuma ?? 'One of the two is black, so there is no ratio.';
  }

  const band = findFlashBand(image.analysis, capture);
  if (typeof band === 'string') reason.flashBand = band;

  return {
    clippedShare: shares(0),
    clippedTwoShare: shares(1),
    clippedThreeShare: shares(2),
    largestClippedBlobShare: cloth?.largestShare ?? null,
    largestClippedBlobBox: cloth?.largestBox ?? null,
    largestClippedBlobTexture: cloth?.largestTexture ?? null,
    lostClothShare: cloth?.lostShare ?? null,
    lostClothTwoShare: cloth?.lostTwoShare ?? null,
    specularPoints: cloth?.glints ?? null,
    blockedShare: cloth === null ? null : pxOf(counted.blockedGarment) / map.garmentPx,
    largestBlockedBlobShare: cloth === null ? null : largestBlobShare(counted.blockedGarment, map.garmentPx),
    subjectLuma: lightnessOf(subject),
    skinLuma: lightnessOf(skin),
    garmentLuma: lightnessOf(garment),
    backgroundLuma: lightnessOf(background),
    backgroundEvDifference: comparable ? Math.log2(background / subject) : null,
    flashBand: typeof band === 'string' ? null : (band satisfies FlashBand),
    histogram: histogramOf(image),
    reason,
  };
}

function shareOf(counts: ClippedCounts, place: 0 | 1 | 2, regionPx: number): number | null {
  return regionPx === 0 ? null : counts[place] / regionPx;
}

function pxOf(runs: { count: number; start: Int32Array; end: Int32Array }): number {
  let px = 0;
  for (let run = 0; run < runs.count; run++) px += runs.end[run]! - runs.start[run]!;
  return px;
}

function luminanceOf(image: FrameImage, mask: Mask | null): number | null {
  return mask === null ? null : medianLuminance(image.analysis, mask);
}

function lightnessOf(luminance: number | null): number | null {
  return luminance === null ? null : Math.min(100, Math.max(0, lightnessOfLuminance(luminance)));
}
