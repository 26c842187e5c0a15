import { describe, expect, it } from 'vitest';
import { backgroundPerson } from '../../../pipeline/checks/frame/background-person.ts';
import { blockedShadows } from '../../../pipeline/checks/frame/blocked-shadows.ts';
import { busyBackground } from '../../../pipeline/checks/frame/busy-background.ts';
import { clippedHighlights } from '../../../pipeline/checks/frame/clipped-highlights.ts';
import { cutAtJoint } from '../../../pipeline/checks/frame/cut-at-joint.ts';
import { darkBackground } from '../../../pipeline/checks/frame/dark-background.ts';
import { flashSync } from '../../../pipeline/checks/frame/flash-sync.ts';
import { highIso } from '../../../pipeline/checks/frame/high-iso.ts';
import { missingSubject } from '../../../pipeline/checks/frame/missing-subject.ts';
import { slowShutter } from '../../../pipeline/checks/frame/slow-shutter.ts';
import { unreadableFile } from '../../../pipeline/checks/frame/unreadable-file.ts';
import { wideAperture } from '../../../pipeline/checks/frame/wide-aperture.ts';
import { wrongColourProfile } from '../../../pipeline/checks/frame/wrong-colour-profile.ts';
import { wrongFormat } from '../../../pipeline/checks/frame/wrong-format.ts';
import { wrongSize } from '../../../pipeline/checks/frame/wrong-size.ts';
import type { FrameCheck } from '../../../pipeline/contracts/check.ts';
import { cutPlaces } from '../../../pipeline/contracts/measurement/people.ts';
import { runCheck } from '../../helpers/check-tester.ts';
import { aFrame, person, type Sections } from '../../helpers/measurement.ts';

type Limits = Parameters<typeof runCheck>[2];
const run = (check: FrameCheck, over: Sections, limits?: Limits) => runCheck(check, aFrame(over), limits);

describe('unreadable-file', () => {
  it('hands on the reason as a sentence and asks for a look', () => {
    expect(runCheck(unreadableFile, { id: 'g/1.jpg', reason: 'the file is empty' })).toMatchObject([
      { severity: 'unmeasured', title: 'Unreadable file', detail: 'The file is empty.', value: null },
    ]);
  });
});

describe('wrong-size', () => {
  it('names both sizes and tells exporting again from shooting again', () => {
    const limits = { longEdge: { cleanup: 1, reject: 0.5 } };
    const [small] = run(wrongSize, { file: { width: 1000, height: 1500 } }, limits);
    expect(small).toMatchObject({ severity: 'cleanup', value: 1500, limit: 2400, unit: 'px' });
    expect(small?.detail).toContain('1000 x 1500 px');
    const [tiny] = run(wrongSize, { file: { width: 1, height: 1 } }, limits);
    expect(tiny).toMatchObject({ severity: 'reject', limit: 1200 });
    expect(tiny?.detail).toContain('shoot again');
  });

  it('has nothing against a larger frame', () => {
    expect(run(wrongSize, { file: { width: 9000, height: 6000 } }, { longEdge: { cleanup: 1 } })).toEqual([]);
  });
});

describe('wrong-format', () => {
  it('names what is accepted', () => {
    expect(run(wrongFormat, { file: { format: 'webp' } })).toMatchObject([
      {
        severity: 'cleanup',
        value: 'webp',
        limit: 'jpeg, tiff',
        detail: 'The file is WEBP; the store accepts JPEG or TIFF. Export it again in that format.',
      },
    ]);
    expect(run(wrongFormat, { file: { format: 'tiff' } })).toEqual([]);
  });
});

describe('wrong-colour-profile', () => {
  const file = (over: Sections['file']) => run(wrongColourProfile, { file: over });

  it('passes what the store accepts', () => {
    expect(file({})).toEqual([]);
    expect(file({ colourProfile: 'c2', profileNameAgrees: null })).toEqual([]);
  });

  it('asks for conversion of another space', () => {
    const [found, ...more] = file({ colourSpace: 'adobe-rgb', colourProfile: 'Adobe RGB (1998)' });
    expect(found).toMatchObject({ severity: 'cleanup', value: 'adobe-rgb', limit: 'srgb' });
    expect(found?.detail).toContain('Adobe RGB (1998); the store accepts sRGB. Convert it');
    expect(more).toEqual([]);
  });

  it('only notes a missing profile, unless the camera says that the numbers are not sRGB', () => {
    const untagged = { colourSpace: 'untagged', colourProfile: null, profileNameAgrees: null } as const;
    expect(file({ ...untagged, cameraColourSpace: null })).toMatchObject([{ severity: 'note' }]);
    expect(file({ ...untagged, cameraColourSpace: 'uncalibrated' })).toMatchObject([{ severity: 'note' }]);
    const [found, ...more] = file({ ...untagged, cameraColourSpace: 'adobe-rgb' });
    expect(found).toMatchObject({ severity: 'cleanup', title: 'Colour profile missing' });
    expect(more).toEqual([]);
  });

  it('finds a profile that lies about itself', () => {
    const lie = { colourProfile: 'sRGB IEC61966-2.1', profileNameAgrees: false } as const;
    const [found, ...more] = file({ ...lie, colourSpace: 'adobe-rgb' });
    expect(found?.severity).toBe('cleanup');
    expect(found?.detail).toContain('named "sRGB IEC61966-2.1" but describes Adobe RGB (1998)');
    expect(more).toEqual([]);
    expect(file({ colourProfile: 'Adobe RGB (1998)', profileNameAgrees: false })).toMatchObject([
      { severity: 'note', title: 'Colour profile misnamed' },
    ]);
  });

  it('finds a profile that cannot be used', () => {
    const [found] = file({ profileProblem: 'the profile is cut off', profileNameAgrees: null });
    expect(found).toMatchObject({ severity: 'cleanup', title: 'Colour profile broken' });
    expect(found?.detail).toContain('The profile is cut off.');
  });
});

describe('missing-subject', () => {
  it('does not ask for a model in a detail', () => {
    const limits = { subjects: { unmeasured: 1 } };
    expect(run(missingSubject, { people: { subjects: [] }, framing: { crop: 'detail' } }, limits)).toEqual(
      [],
    );
    expect(
      run(missingSubject, { people: { subjects: [] }, framing: { crop: 'none' } }, limits),
    ).toMatchObject([{ severity: 'unmeasured', value: 0, limit: 1 }]);
  });
});

describe('background-person', () => {
  const limits = {
    share: { light: 0, moderate: 0.005, heavy: 0.03, reject: 0.2 },
    overlap: { moderate: 0.02, heavy: 0.25 },
    gap: { moderate: 0.01 },
    blurRatio: { moderate: 1.5 },
    unsureShare: { note: 0 },
  };
  const people = (...background: Parameters<typeof person>[0][]) =>
    run(backgroundPerson, { people: { background: background.map(person) } }, limits);

  it('makes one finding a person, each with its own box', () => {
    const found = people({ box: [0, 0, 0.1, 0.1] }, { box: [0.8, 0, 0.1, 0.1], mayBe: 'a mannequin' });
    expect(found.map(({ region }) => region)).toEqual([
      [0, 0, 0.1, 0.1],
      [0.8, 0, 0.1, 0.1],
    ]);
    expect(found.map(({ severity }) => severity)).toEqual(['cleanup', 'note']);
  });

  it.each([
    [{ shareOfFrame: 0.004, overlapWithSubject: 0 }, 'light'],
    [{ shareOfFrame: 0.004, overlapWithSubject: 0.1 }, 'moderate'],
    [{ shareOfFrame: 0.01, overlapWithSubject: 0 }, 'moderate'],
    [{ shareOfFrame: 0.004, distanceToSubject: 0.005 }, 'moderate'],
    [{ shareOfFrame: 0.004, blurSigmaPx: 1 }, 'moderate'],
    [{ shareOfFrame: 0.004, blurSigmaPx: null, distanceToSubject: null }, 'light'],
    [{ shareOfFrame: 0.01, overlapWithSubject: 0.3 }, 'heavy'],
    [{ shareOfFrame: 0.05, overlapWithSubject: 0.1 }, 'heavy'],
  ])('takes the gravest of share, overlap, closeness and blur: %o is %s', (over, effort) => {
    expect(people(over)).toMatchObject([
      { severity: 'cleanup', effort, title: `Background person, ${effort} work` },
    ]);
  });

  it('asks for a reshoot where nobody can paint the person out', () => {
    const [found] = people({ shareOfFrame: 0.3 });
    expect(found?.severity).toBe('reject');
    expect(found?.effort).toBeUndefined();
  });

  it('says where the person is', () => {
    const [found] = people({
      shareOfFrame: 0.03,
      cutBy: 'left',
      standingShare: 0.4,
      overlapWithSubject: 0.1,
      blurSigmaPx: 0.8,
    });
    expect(found?.detail).toBe(
      "A person covers 3 % of the frame, cut by the left edge, about 40 % of a standing person showing, 10 % of the box overlapping the model's, as sharp as the model. Paint the person out.",
    );
  });

  it('only notes what may be no live person, and names it', () => {
    const [found] = people({ shareOfFrame: 0.3, mayBe: 'a statue' });
    expect(found?.severity).toBe('note');
    expect(found?.detail).toContain('may be a statue');
  });

  it('asks for a look where people could not be searched for', () => {
    const found = run(backgroundPerson, { people: { reason: { background: 'The network failed' } } }, limits);
    expect(found).toMatchObject([{ severity: 'unmeasured' }]);
  });
});

describe('clipped-highlights', () => {
  const limits = {
    lostCloth: { cleanup: 0.02 },
    largestPatch: { cleanup: 0.01 },
    twoChannels: { reject: 0.05 },
    skin: { note: 0.02 },
  };

  it('makes one finding of the garment, the gravest, with the largest patch as its place', () => {
    const found = run(
      clippedHighlights,
      {
        exposure: {
          lostClothShare: 0.1,
          largestClippedBlobShare: 0.1,
          largestClippedBlobBox: [0.4, 0.4, 0.1, 0.1],
          lostClothTwoShare: 0.08,
        },
      },
      limits,
    );
    expect(found).toMatchObject([
      { severity: 'reject', value: 0.08, limit: 0.05, region: [0.4, 0.4, 0.1, 0.1] },
    ]);
  });

  it('leaves points of light alone: many small patches, none of them lost cloth', () => {
    const glints = {
      clippedShare: { garment: 0.03, skin: 0, frame: 0.01 },
      clippedTwoShare: { garment: 0.03, skin: 0, frame: 0.01 },
      largestClippedBlobShare: 0.0004,
      specularPoints: { count: 80, share: 0.03 },
    };
    expect(run(clippedHighlights, { exposure: glints }, limits)).toEqual([]);
  });

  it('says what the largest patch still shows, and what to turn down', () => {
    const detail = (largestClippedBlobTexture: number, flashFired: boolean) =>
      run(
        clippedHighlights,
        { exposure: { lostClothTwoShare: 0.2, largestClippedBlobTexture }, capture: { flashFired } },
        limits,
      )[0]?.detail;
    expect(detail(0.4, false)).toBe(
      '20 % of the garment is lost in patches clipped in two channels or more, more than the 5 % limit. The largest patch is blank. Shoot again with less exposure, or turn the model out of the hard light.',
    );
    expect(detail(6, true)).toBe(
      '20 % of the garment is lost in patches clipped in two channels or more, more than the 5 % limit. In the largest patch the channel clipped least still shows the cloth. Shoot again with less flash power or a smaller aperture.',
    );
  });

  it('asks for a look where the garment was not found, and says nothing without a model', () => {
    const none = { garment: null, skin: null, frame: 0 };
    const exposure = {
      clippedShare: none,
      lostClothShare: null,
      lostClothTwoShare: null,
      largestClippedBlobShare: null,
      reason: { garment: 'No cloth was found' },
    };
    expect(run(clippedHighlights, { exposure }, limits)).toMatchObject([{ severity: 'unmeasured' }]);
    expect(run(clippedHighlights, { exposure, people: { subjects: [] } }, limits)).toEqual([]);
  });
});

describe('blocked-shadows', () => {
  it('asks for a look where the garment was not found, and says nothing without a model', () => {
    const exposure = { blockedShare: null, largestBlockedBlobShare: null };
    expect(run(blockedShadows, { exposure })).toMatchObject([{ severity: 'unmeasured' }]);
    expect(run(blockedShadows, { exposure, people: { subjects: [] } })).toEqual([]);
  });
});

describe('busy-background', () => {
  it('compares with the sharpest part of the model, and with none says nothing', () => {
    const limits = { blurRatio: { note: 1.1 } };
    const sharpness = { eyes: null, face: null, garment: null };
    expect(run(busyBackground, { sharpness }, limits)).toEqual([]);
    expect(run(busyBackground, { sharpness: { background: null } }, limits)).toEqual([]);
  });
});

describe('cut-at-joint', () => {
  it.each(cutPlaces)('a cut at the %s', (cutAt) => {
    const severity = { feet: 'cleanup', ankle: 'cleanup', knee: 'note', hip: 'note' }[String(cutAt)];
    const found = run(cutAtJoint, { framing: { cutAt } });
    expect(found.map((finding) => finding.severity)).toEqual(severity === undefined ? [] : [severity]);
  });

  it('says nothing of a model that is not cut', () => {
    expect(run(cutAtJoint, { framing: { cutAt: null } })).toEqual([]);
  });
});

describe('checks of camera settings', () => {
  const limits: Limits = {
    exposureTime: { note: 1 },
    fNumber: { note: 100 },
    iso: { note: 0 },
    stops: { note: 100 },
  };

  it.each([
    [wideAperture, { fNumber: null }],
    [highIso, { iso: null }],
    [slowShutter, { exposureTimeS: null }],
    [slowShutter, { focalLength35mm: null, focalLengthMm: null }],
    [flashSync, { flashFired: null }],
    [flashSync, { flashFired: false }],
    [flashSync, { flashFired: true, exposureTimeS: null }],
    [darkBackground, { flashFired: false }],
  ] as const)('say nothing where the file does not say: %#', (check, capture) => {
    expect(run(check, { capture }, limits)).toEqual([]);
  });

  it('slow-shutter uses the focal length itself where no equivalent is given', () => {
    const capture = { focalLength35mm: null, focalLengthMm: 50, exposureTimeS: 1 / 25 };
    const [found] = run(slowShutter, { capture }, limits);
    expect(found?.detail).toBe(
      'Exposed for 1/25 s, longer than 1/50 s for 50 mm: hand shake is likely. Use 1/50 s or faster, or a tripod.',
    );
  });
});

describe('flash-sync', () => {
  const limits = { exposureTime: { note: 0.005 }, bandDepth: { cleanup: 0.3, reject: 1.5 } };
  const capture = { flashFired: true, exposureTimeS: 1 / 500 };
  const band = (edge: 'top' | 'bottom' | 'left' | 'right', depthStops: number) => ({
    flashBand: { edge, depthStops, reachShare: 0.25, continuity: 0.9 },
  });

  it('is a warning by the setting, a fault by the band, and one finding for both', () => {
    expect(run(flashSync, { capture }, limits)).toMatchObject([{ severity: 'note', unit: 's' }]);
    expect(run(flashSync, { capture, exposure: band('bottom', 1) }, limits)).toMatchObject([
      { severity: 'cleanup', unit: 'stops', region: [0, 0.75, 1, 0.25] },
    ]);
    expect(run(flashSync, { capture, exposure: band('left', 2) }, limits)).toMatchObject([
      { severity: 'reject', region: [0, 0, 0.25, 1] },
    ]);
  });

  it('only notes a band where nobody knows of a flash', () => {
    const found = run(
      flashSync,
      { capture: { flashFired: null }, exposure: band('left', 2) },
      { ...limits, unsureBandDepth: { note: 0.3 } },
    );
    expect(found).toMatchObject([{ severity: 'note', value: 2 }]);
  });

  it('knows every edge', () => {
    const regions = (['top', 'bottom', 'left', 'right'] as const).map(
      (edge) => run(flashSync, { capture, exposure: band(edge, 1) }, limits)[0]?.region,
    );
    expect(regions).toEqual([
      [0, 0, 1, 0.25],
      [0, 0.75, 1, 0.25],
      [0, 0, 0.25, 1],
      [0.75, 0, 0.25, 1],
    ]);
  });
});
