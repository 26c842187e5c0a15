import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import type { FrameImage } from '../../../pipeline/contracts/frame-image.ts';
import type { People } from '../../../pipeline/contracts/measurement/people.ts';
import type { Regions } from '../../../pipeline/contracts/regions.ts';
import { decodeFrame } from '../../../pipeline/decode/decode-frame.ts';
import { measureColour } from '../../../pipeline/measure/colour.ts';
import { findPeople } from '../../../pipeline/measure/people.ts';
import { findRegions } from '../../../pipeline/measure/regions.ts';
import { whitenessOfCast } from '../../../pipeline/numeric/colour/cast.ts';
import { withCard } from '../../helpers/card.ts';
import { lightAt } from '../../helpers/lit-colours.ts';
import { frameOf, madePicture, noRegions } from '../../helpers/made-frame.ts';
import { wholeMask } from '../../helpers/relit.ts';

/** Our own limit for a card of 8-bit codes with noise of three of them, after JPEG. */
const limitMired = 3;

const names = ['linen-shift/a-0412', 'linen-shift/a-0423', 'tea-dress/a-0447', 'tea-dress/a-0458'];
const scenes = new Map<string, { image: FrameImage; people: People; regions: Regions }>();

beforeAll(async () => {
  for (const name of names) {
    const path = fileURLToPath(new URL(`../../../samples/delivery/${name}.jpg`, import.meta.url));
    const { image } = await decodeFrame(await readFile(path));
    const people = await findPeople(image);
    scenes.set(name, { image, people, regions: await findRegions(image, people) });
  }
});

describe('a neutral card held before the subject', () => {
  it.each([
    [0, 0, 0.18, 0],
    [40, 0, 0.18, 12],
    [-40, 0.005, 0.6, -18],
    [15, -0.008, 0.5, 7],
  ])(
    'tells the light of the frame: %d mired and %d Duv off, grey %d, turned by %d degrees',
    async (mired, duv, grey, turnDeg) => {
      const light = lightAt(mired, duv);
      const truth = whitenessOfCast(light)!;
      for (const { image, people, regions } of scenes.values()) {
        const { width, height } = image.analysis;
        const [x, y, w, h] = people.subjects[0]!.box;
        const centre = [(x + w / 2) * width, (y + 0.4 * h) * height] as const;
        const half = [0.13 * w * width, 0.17 * w * width] as const;
        const card = { centre, half, turnDeg, grey, light, shading: 0.15, noise: 3 };
        const analysis = await withCard(image.analysis, card);
        const colour = measureColour({ ...image, analysis }, regions, people);
        expect(colour.reference).toBe('neutral-card');
        expect(Math.abs(colour.mired! - truth.mired)).toBeLessThan(limitMired);
        expect(Math.abs(colour.duv! - truth.duv)).toBeLessThan(0.002);
        expect(colour.sigmaMired!).toBeLessThan(limitMired);
        const [left, top, across, down] = colour.cardBox!;
        expect((left + across / 2) * width).toBeCloseTo(centre[0], -1);
        expect((top + down / 2) * height).toBeCloseTo(centre[1], -1);
      }
    },
  );

  it('is not found where there is none', () => {
    for (const { image, people, regions } of scenes.values()) {
      expect(measureColour(image, regions, people)).toMatchObject({ cardBox: null });
    }
  });
});

describe('flat white and grey that is no card', () => {
  const cloth = [90, 60, 50] as const;
  const white = [215, 214, 210] as const;
  const person: People = {
    subjects: [
      { box: [0.25, 0.05, 0.5, 0.9], score: 1, mask: null, maskKind: null, keypoints: [], because: '' },
    ],
    background: [],
    reason: {},
  };
  const shown = (isWhite: (x: number, y: number) => boolean) => {
    const picture = madePicture(400, 600, (x, y) => (isWhite(x, y) ? white : cloth));
    return measureColour(frameOf(picture), { ...noRegions, subject: wholeMask(picture) }, person).cardBox;
  };

  it('finds the very card that the shapes below are not', () => {
    expect(shown((x, y) => Math.abs(x - 200) < 30 && Math.abs(y - 250) < 40)).not.toBeNull();
  });

  it.each<[string, (x: number, y: number) => boolean]>([
    ['a wall', (_, y) => y < 400],
    ['a blouse', (x, y) => Math.abs(x - 200) < 45 + Math.abs(y - 250) / 3 && Math.abs(y - 250) < 60],
    ['a round button', (x, y) => Math.hypot(x - 200, y - 250) < 35],
    ['a collar', (x, y) => y > 200 && y < 270 && Math.abs(x - 200) < 270 - y],
    ['a belt', (x, y) => Math.abs(x - 200) < 60 && Math.abs(y - 300) < 12],
    [
      'a cross',
      (x, y) =>
        Math.min(Math.abs(x - 200), Math.abs(y - 250)) < 12 &&
        Math.max(Math.abs(x - 200), Math.abs(y - 250)) < 40,
    ],
    ['a label', (x, y) => Math.abs(x - 200) < 8 && Math.abs(y - 250) < 8],
  ])('%s', (_, isWhite) => {
    expect(shown(isWhite)).toBeNull();
  });
});
