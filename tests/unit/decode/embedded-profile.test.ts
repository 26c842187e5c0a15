import { describe, expect, it } from 'vitest';
import { decodeFrame } from '../../../pipeline/decode/decode-frame.ts';
import {
  descriptionV4,
  gammaCurve,
  iccProfile,
  matrixProfile,
  withProfile,
  xyzTag,
} from '../../helpers/icc-maker.ts';
import { jpeg } from '../../helpers/pictures.ts';

describe('the embedded profile', () => {
  const tagged = async (profile: Buffer) => (await decodeFrame(withProfile(await jpeg(), profile))).file;

  it.each([
    ['sRGB IEC61966-2.1', 'srgb', 'srgb', true],
    ['Adobe RGB (1998)', 'adobe-rgb', 'adobe-rgb', true],
    ['Display P3', 'display-p3', 'display-p3', true],
    ['ProPhoto RGB', 'prophoto-rgb', 'prophoto-rgb', true],
    ['sRGB IEC61966-2.1', 'adobe-rgb', 'adobe-rgb', false],
    ['Adobe RGB (1998)', 'srgb', 'srgb', false],
    ['Monitor of 3 May', 'display-p3', 'display-p3', null],
  ] as const)('called %s with the colours of %s', async (name, colours, space, agrees) => {
    for (const version of [2, 4] as const) {
      const file = await tagged(matrixProfile(colours, name, undefined, version));
      expect(file).toMatchObject({
        colourProfile: name,
        colourSpace: space,
        profileNameAgrees: agrees,
        profileProblem: null,
      });
    }
  });

  it('sRGB colours under a curve of their own are another space', async () => {
    expect(await tagged(matrixProfile('srgb', 'sRGB', gammaCurve(1.8)))).toMatchObject({
      colourSpace: 'other',
      profileNameAgrees: false,
    });
    expect(await tagged(matrixProfile('srgb', 'linear sRGB', gammaCurve(1)))).toMatchObject({
      colourSpace: 'other',
      profileNameAgrees: null,
    });
  });

  it('a broken profile costs the conversion, not the frame', async () => {
    const whole = matrixProfile('adobe-rgb', 'Adobe RGB (1998)');
    const wrong = Buffer.from(whole);
    wrong.writeUInt32BE(0x7fffffff, 128 + 4 + 4);
    for (const profile of [whole.subarray(0, 40), whole.subarray(0, 300), Buffer.alloc(600, 7), wrong]) {
      const { image, file } = await decodeFrame(withProfile(await jpeg(), profile));
      expect(file.colourSpace).toBe('other');
      expect(file.profileProblem).toMatch(/^The embedded colour profile .*read as sRGB\.$/);
      expect(image.encoded.data).toBe(image.srgb.data);
    }
  });

  it('a profile whose colours are impossible is not used', async () => {
    const curve = gammaCurve(2.2);
    const impossible = iccProfile({
      tags: {
        rXYZ: xyzTag([30000, 0.3, 0]),
        gXYZ: xyzTag([0.3, 0.6, 0]),
        bXYZ: xyzTag([0.1, 0.1, 0.8]),
        rTRC: curve,
        gTRC: curve,
        bTRC: curve,
      },
    });
    const { image, file } = await decodeFrame(withProfile(await jpeg(), impossible));
    expect(file).toMatchObject({ colourProfile: '(without a name)', colourSpace: 'other' });
    expect(file.profileProblem).toContain('do not add up to a white');
    expect(image.encoded.data).toBe(image.srgb.data);
  });

  it('a grey profile in a colour picture is named as the misfit it is', async () => {
    const profile = iccProfile({
      space: 'GRAY',
      tags: { desc: descriptionV4('Grey'), kTRC: gammaCurve(1.8) },
    });
    expect((await tagged(profile)).profileProblem).toBe(
      'The embedded colour profile is for GRAY and the picture is RGB; the picture was read as sRGB.',
    );
  });

  it('a hostile profile name is made printable', async () => {
    const file = await tagged(matrixProfile('srgb', 'a\u202eb\u0000c'));
    expect(file.colourProfile).toBe('a b');
  });
});
