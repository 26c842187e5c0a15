import { describe, expect, it } from 'vitest';
import { pictureOfLuma } from '../../../../pipeline/measure/sharpness/picture.ts';
import { regionOfMask } from '../../../../pipeline/measure/sharpness/px-region.ts';
import type { RegionBlur } from '../../../../pipeline/measure/sharpness/region-blur.ts';
import { movedAlong, subjectMotion } from '../../../../pipeline/measure/sharpness/subject-motion.ts';
import { cleanChart, expose, siemensStar, starRing } from '../../../helpers/charts.ts';
import type { Spread } from '../../../helpers/edge-spread.ts';

async function motionOfStar(spread: Spread) {
  const { luma, width, height } = await expose(siemensStar(spread), cleanChart);
  const picture = pictureOfLuma(luma, width, height);
  return subjectMotion(picture, regionOfMask(starRing, picture)!);
}

const part: RegionBlur = {
  blurSigmaPx: 0.7,
  mtf50CyPx: 0.27,
  edges: 40,
  direction: null,
  kind: null,
};

describe('motion of a whole subject', () => {
  it('is told with its length and direction', async () => {
    const motion = await motionOfStar({ kind: 'motion', lengthPx: 8, deg: 30 });
    // Limits of the issue: 15 % and 8 degrees.
    expect(Math.abs(motion!.lengthPx / 8 - 1)).toBeLessThan(0.15);
    expect(Math.abs(motion!.deg - 30)).toBeLessThan(8);
  });

  it('is not read into an even blur', async () => {
    expect(await motionOfStar({ kind: 'disc', radiusPx: 5 })).toBeNull();
  });

  it('makes each part as soft along it as the subject, and never sharper than it read', async () => {
    const motion = (await motionOfStar({ kind: 'motion', lengthPx: 8, deg: 30 }))!;
    expect(movedAlong(part, motion)).toMatchObject({
      kind: 'motion',
      blurSigmaPx: motion.sigmaPx,
      edges: 40,
    });
    expect(movedAlong({ ...part, blurSigmaPx: 9 }, motion)).toMatchObject({ kind: 'motion', blurSigmaPx: 9 });
  });

  it('leaves parts without a reading, and still ones, as they are', async () => {
    const motion = await motionOfStar({ kind: 'motion', lengthPx: 8, deg: 30 });
    const unread = { reason: 'No face was found.' };
    expect(movedAlong(unread, motion)).toBe(unread);
    expect(movedAlong(part, null)).toBe(part);
  });
});
