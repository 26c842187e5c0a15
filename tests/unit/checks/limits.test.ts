import { describe, expect, it } from 'vitest';
import { backgroundPerson } from '../../../pipeline/checks/frame/background-person.ts';
import { blockedShadows } from '../../../pipeline/checks/frame/blocked-shadows.ts';
import { busyBackground } from '../../../pipeline/checks/frame/busy-background.ts';
import { clippedHighlights } from '../../../pipeline/checks/frame/clipped-highlights.ts';
import { darkBackground } from '../../../pipeline/checks/frame/dark-background.ts';
import { flashSync } from '../../../pipeline/checks/frame/flash-sync.ts';
import { highIso } from '../../../pipeline/checks/frame/high-iso.ts';
import { missingSubject } from '../../../pipeline/checks/frame/missing-subject.ts';
import { slowShutter } from '../../../pipeline/checks/frame/slow-shutter.ts';
import { softEyes } from '../../../pipeline/checks/frame/soft-eyes.ts';
import { softFace } from '../../../pipeline/checks/frame/soft-face.ts';
import { softGarment } from '../../../pipeline/checks/frame/soft-garment.ts';
import { wideAperture } from '../../../pipeline/checks/frame/wide-aperture.ts';
import { wrongFormat } from '../../../pipeline/checks/frame/wrong-format.ts';
import { wrongSize } from '../../../pipeline/checks/frame/wrong-size.ts';
import { colourDrift } from '../../../pipeline/checks/garment/colour-drift.ts';
import { droppedFrame } from '../../../pipeline/checks/garment/dropped-frame.ts';
import { missingView } from '../../../pipeline/checks/garment/missing-view.ts';
import { nearDuplicate } from '../../../pipeline/checks/garment/near-duplicate.ts';
import { setSize } from '../../../pipeline/checks/garment/set-size.ts';
import { unevenExposure } from '../../../pipeline/checks/garment/uneven-exposure.ts';
import { unfixedWhiteBalance } from '../../../pipeline/checks/garment/unfixed-white-balance.ts';
import { checks } from '../../../pipeline/checks/index.ts';
import type { SetView } from '../../../pipeline/contracts/check.ts';
import type { Measurement } from '../../../pipeline/contracts/measurement/measurement.ts';
import { lightnessOfLuminance } from '../../../pipeline/numeric/colour/lab.ts';
import { describeLimits } from '../../helpers/check-tester.ts';
import { aFrame, aMeasurement, blur, person, type Sections } from '../../helpers/measurement.ts';
import { aGarmentView, aSetView, drifting, flashOff } from '../../helpers/set.ts';

/** Every check below, on and above each of its limits. Limits are the test's own, so that no default can hide a fault. */

const share = { cleanup: 0.02, reject: 0.125 };
const tiny = 1 / 1024;
const exposed = (exposure: Partial<Measurement['exposure']>) => aFrame({ exposure });
const shot = (capture: Partial<Measurement['capture']>) => aFrame({ capture });

for (const [check, soft] of [
  [softEyes, (value: number) => ({ eyes: blur(value) })],
  [softFace, (value: number) => ({ eyes: blur(value), face: blur(value) })],
  [softGarment, (value: number) => ({ garment: blur(value) })],
] as const) {
  describeLimits(check, {
    blur: {
      limits: { cleanup: 1.5, reject: 2.5 },
      step: 0.001,
      view: (value) => aFrame({ sharpness: soft(value) }),
    },
  });
}

describeLimits(missingSubject, {
  subjects: {
    limits: { unmeasured: 2, reject: 1 },
    step: 1,
    view: (n) => {
      const subject = aMeasurement().people.subjects[0]!;
      return aFrame({ people: { subjects: Array.from({ length: n }, () => subject) } });
    },
  },
});

describeLimits(backgroundPerson, {
  share: {
    limits: { light: 0.01, moderate: 0.05, heavy: 0.1, reject: 0.25 },
    step: tiny,
    view: (shareOfFrame) => aFrame({ people: { background: [person({ shareOfFrame })] } }),
  },
  overlap: {
    limits: { moderate: 0.125, heavy: 0.5 },
    step: tiny,
    view: (overlapWithSubject) => aFrame({ people: { background: [person({ overlapWithSubject })] } }),
  },
  gap: {
    limits: { moderate: 0.0625 },
    step: tiny,
    view: (distanceToSubject) => aFrame({ people: { background: [person({ distanceToSubject })] } }),
  },
  blurRatio: {
    limits: { moderate: 1.5 },
    step: 0.01,
    // The builder's garment has a blur of 0.8 px.
    view: (ratio) => aFrame({ people: { background: [person({ blurSigmaPx: ratio * 0.8 })] } }),
  },
  unsureShare: {
    limits: { note: 0.125 },
    step: tiny,
    view: (shareOfFrame) => aFrame({ people: { background: [person({ shareOfFrame, mayBe: 'a poster' })] } }),
  },
});

describeLimits(clippedHighlights, {
  lostCloth: { limits: share, step: tiny, view: (lostClothShare) => exposed({ lostClothShare }) },
  largestPatch: {
    limits: share,
    step: tiny,
    view: (largestClippedBlobShare) =>
      exposed({ largestClippedBlobShare, largestClippedBlobBox: [0.4, 0.4, 0.1, 0.1] }),
  },
  twoChannels: {
    limits: share,
    step: tiny,
    view: (lostClothTwoShare) => exposed({ lostClothTwoShare }),
  },
  skin: {
    limits: { note: 0.02, cleanup: 0.125 },
    step: tiny,
    view: (skin) => exposed({ clippedShare: { garment: 0, skin, frame: 0 } }),
  },
});

describeLimits(blockedShadows, {
  share: { limits: share, step: tiny, view: (blockedShare) => exposed({ blockedShare }) },
  largestPatch: {
    limits: share,
    step: tiny,
    view: (largestBlockedBlobShare) => exposed({ largestBlockedBlobShare }),
  },
});

describeLimits(busyBackground, {
  blurRatio: {
    limits: { note: 1.25, cleanup: 0.75 },
    step: 0.01,
    view: (ratio) => aFrame({ sharpness: { background: blur(ratio * 0.8) } }),
  },
});

describeLimits(wrongSize, {
  longEdge: {
    limits: { cleanup: 1, reject: 0.5 },
    step: 1 / 2400,
    shown: (value) => value * 2400,
    view: (ratio) => aFrame({ file: { width: 1000, height: Math.round(2400 * ratio) } }),
  },
});

describeLimits(wrongFormat, {
  pictures: { limits: { note: 1, cleanup: 4 }, step: 1, view: (pages) => aFrame({ file: { pages } }) },
});

const banded = (flashFired: boolean | null, depthStops: number) =>
  aFrame({
    capture: { flashFired },
    exposure: { flashBand: { edge: 'bottom', reachShare: 0.2, depthStops, continuity: 0.9 } },
  });

describeLimits(flashSync, {
  exposureTime: {
    limits: { note: 1 / 200, cleanup: 1 / 500 },
    step: 1e-4,
    view: (exposureTimeS) => shot({ exposureTimeS, flashFired: true }),
  },
  bandDepth: {
    limits: { note: 0.25, cleanup: 0.5, reject: 1.5 },
    step: 0.01,
    view: (depthStops) => banded(true, depthStops),
  },
  unsureBandDepth: {
    limits: { note: 0.25, cleanup: 0.5 },
    step: 0.01,
    view: (depthStops) => banded(null, depthStops),
  },
});

describeLimits(slowShutter, {
  exposureTime: {
    limits: { note: 1, cleanup: 4 },
    step: 0.05,
    // The finding speaks of seconds: with an 85 mm lens the limit of one is 1/85 s.
    shown: (times) => times / 85,
    view: (times) => shot({ exposureTimeS: times / 85, focalLength35mm: 85 }),
  },
});

describeLimits(wideAperture, {
  fNumber: { limits: { note: 2 }, step: 0.2, view: (fNumber) => shot({ fNumber }) },
});

describeLimits(darkBackground, {
  stops: {
    limits: { note: -2, cleanup: -3 },
    step: 0.1,
    view: (backgroundEvDifference) =>
      aFrame({ exposure: { backgroundEvDifference }, capture: { flashFired: true } }),
  },
});

describeLimits(highIso, {
  iso: { limits: { note: 1600, cleanup: 6400 }, step: 100, view: (iso) => shot({ iso }) },
});

describeLimits(colourDrift, {
  mired: { limits: { cleanup: 6, reject: 20 }, step: 0.1, view: (mired) => drifting({ mired: -mired }) },
  duv: { limits: { cleanup: 0.006, reject: 0.02 }, step: 0.001, view: (duv) => drifting({ duv }) },
  garmentColour: {
    limits: { note: 3, cleanup: 5, reject: 9 },
    step: 0.1,
    view: (deltaE00) => drifting({ deltaE00 }),
  },
  flashMired: { limits: { note: 6, cleanup: 12 }, step: 0.1, view: (mired) => flashOff({ mired: -mired }) },
  flashDuv: { limits: { note: 0.006, cleanup: 0.012 }, step: 0.001, view: (duv) => flashOff({ duv }) },
});

describeLimits(unevenExposure, {
  spread: {
    limits: { note: 1, cleanup: 2 },
    step: 0.01,
    // CIE 15: L* of a luminance so many stops under 0.8.
    view: (stops) =>
      aSetView(
        [0, stops].map((down) => {
          const lightness = lightnessOfLuminance(0.8 / 2 ** down);
          return { exposure: { skinLuma: lightness, garmentLuma: lightness } };
        }),
      ),
  },
});

/** Six frames of one body, of which the first few differ as told. */
const six = (change: (index: number) => Sections): SetView =>
  aSetView(Array.from({ length: 6 }, (_, i) => change(i)));

describeLimits(unfixedWhiteBalance, {
  automatic: {
    limits: { note: 1, cleanup: 4 },
    step: 1,
    view: (n) => six((i) => ({ capture: { whiteBalance: i < n ? 'auto' : 'manual' } })),
  },
  settings: {
    limits: { note: 1, cleanup: 3 },
    step: 1,
    view: (n) => six((i) => ({ capture: { colourTemperatureK: 5000 + (i % Math.max(1, n)) } })),
  },
});

describeLimits(nearDuplicate, {
  bits: {
    limits: { note: 8 },
    step: 1,
    view: (bits) =>
      aSetView(
        [0n, (1n << BigInt(bits)) - 1n].map((hash) => ({
          likeness: { dhash64: hash.toString(16).padStart(16, '0') },
        })),
        // The check groups by its limit, so it is told of the same one that the grading uses.
        8,
      ),
  },
});

describeLimits(setSize, {
  fewest: {
    limits: { note: 6, cleanup: 5, reject: 3 },
    step: 1,
    view: (n) => aGarmentView({ verdicts: [...Array<'pass'>(n).fill('pass'), 'reject', 'unreadable'] }),
  },
  most: {
    limits: { note: 10, cleanup: 20 },
    step: 1,
    view: (n) => aGarmentView({ verdicts: Array<'cleanup'>(n).fill('cleanup') }),
  },
});

describeLimits(droppedFrame, {
  dropped: {
    limits: { note: 0, cleanup: 2, reject: 4 },
    step: 1,
    view: (n) => aGarmentView({ verdicts: ['pass', ...Array<'reject'>(Math.max(0, n)).fill('reject')] }),
  },
});

describe('missing-view: limits', () => {
  it('counts frames, so a limit of one frame is the only one with a meaning, and every way out is covered in its own test', () => {
    expect(Object.values(missingView.meta.quantities).map((quantity) => quantity.unit)).toEqual(
      Array(4).fill('frames'),
    );
  });
});

describe('this file', () => {
  it('covers every check that has a limit', () => {
    const covered = [
      ...[softEyes, softFace, softGarment, missingSubject, backgroundPerson, clippedHighlights],
      ...[blockedShadows, busyBackground, wrongSize, wrongFormat, flashSync, slowShutter, wideAperture],
      ...[darkBackground, highIso, colourDrift, unevenExposure, unfixedWhiteBalance, nearDuplicate],
      ...[setSize, droppedFrame, missingView],
    ].map(({ meta }) => meta.id);
    const limited = checks.filter(({ meta }) =>
      Object.values(meta.quantities).some(({ bad }) => bad !== 'outside'),
    );
    expect(covered.sort()).toEqual(limited.map(({ meta }) => meta.id).sort());
  });
});
