/** Regions of drawn figures: what each px shows is known from the drawing. */
import { beforeAll, describe, expect, it } from 'vitest';
import type { FrameImage, Mask, Rgb8 } from '../../../../pipeline/contracts/frame-image.ts';
import type { People } from '../../../../pipeline/contracts/measurement/people.ts';
import type { Regions } from '../../../../pipeline/contracts/regions.ts';
import { estimatePose } from '../../../../pipeline/measure/networks/movenet-thunder.ts';
import { findRegions } from '../../../../pipeline/measure/regions.ts';
import { resample } from '../../../../pipeline/numeric/resample.ts';
import {
  drawFigure,
  type FigureOptions,
  type FigurePicture,
  type Part,
} from '../../../helpers/figure-picture.ts';

const options: FigureOptions = { width: 420, height: 600, figurePx: 500, feet: [210, 565] };

const frameOf = (srgb: Rgb8, analysis: Rgb8 = srgb): FrameImage => ({
  srgb,
  analysis,
  encoded: { data: srgb.data, ceiling: 255 },
});

async function peopleOf(figure: FigurePicture): Promise<People> {
  const keypoints = [...(await estimatePose(figure.image, figure.box))];
  return {
    subjects: [
      { box: figure.box, score: 0.9, mask: null, maskKind: null, keypoints, because: 'the only person' },
    ],
    background: [],
    reason: {},
  } as unknown as People;
}

/** Intersection over union of a mask with drawn parts. */
function overlap(mask: Mask | null, figure: FigurePicture, wanted: readonly Part[]): number {
  let [shared, either] = [0, 0];
  for (const [index, part] of figure.parts.entries()) {
    const found = mask !== null && mask.data[index]! >= 128;
    const drawn = wanted.includes(part);
    if (found && drawn) shared++;
    if (found || drawn) either++;
  }
  return shared / either;
}

const standard = drawFigure(options);

describe('regions of a drawn figure', () => {
  const figure = standard;
  let regions: Regions;
  beforeAll(async () => {
    regions = await findRegions(frameOf(figure.image), await peopleOf(figure));
  });

  it('hold the subject, its cloth and its skin', () => {
    expect(overlap(regions.subject, figure, ['skin', 'hair', 'cloth', 'shoe', 'eye'])).toBeGreaterThan(0.88);
    expect(overlap(regions.garment, figure, ['cloth'])).toBeGreaterThan(0.88);
    expect(overlap(regions.skin, figure, ['skin', 'eye'])).toBeGreaterThan(0.6);
    expect(regions.reason).toEqual({});
  });

  it('have masks of the size of the reduced picture, garment inside subject', () => {
    for (const mask of [regions.subject, regions.garment, regions.skin, regions.background]) {
      expect([mask!.width, mask!.height, mask!.data.length]).toEqual([420, 600, 420 * 600]);
    }
    const outside = regions.garment!.data.filter((value, at) => value > regions.subject!.data[at]!);
    expect(outside).toHaveLength(0);
  });

  it('keep the background away from the figure', () => {
    const touching = figure.parts.filter(
      (part, at) => part !== 'background' && regions.background!.data[at]! > 0,
    );
    expect(touching).toHaveLength(0);
    const share = regions.background!.data.filter((value) => value === 255).length / figure.parts.length;
    expect(share).toBeGreaterThan(0.5);
  });

  it('find both eyes where they are drawn', () => {
    const [face] = regions.faces;
    expect(face!.eyesReason).toBeNull();
    expect(Math.abs(face!.yawDeg)).toBeLessThan(15);
    expect(face!.eyes.map(({ side }) => side)).toEqual(['right', 'left']);
    for (const [index, eye] of face!.eyes.entries()) {
      const [x, y] = figure.eyes[index]!;
      const distance = Math.hypot((eye.irisCentre[0] - x) * 420, (eye.irisCentre[1] - y) * 600);
      // The drawn iris has a radius of 2.5 px.
      expect(distance).toBeLessThan(2.5);
      const [left, top, width, height] = eye.box;
      expect(x > left && x < left + width && y > top && y < top + height).toBe(true);
      expect(width * 420).toBeGreaterThan(0.02 * 500);
      expect(width * 420).toBeLessThan(0.06 * 500);
    }
  });

  it('are the same when found again', async () => {
    const again = await findRegions(frameOf({ ...figure.image }), await peopleOf(figure));
    for (const name of ['subject', 'garment', 'skin', 'background'] as const) {
      expect(Buffer.compare(again[name]!.data, regions[name]!.data), name).toBe(0);
    }
    expect([again.faces, again.reason]).toEqual([regions.faces, regions.reason]);
  });

  it('leave background people out of the background', async () => {
    const people = await peopleOf(figure);
    const box = [0.7, 0.1, 0.2, 0.5] as const;
    const crowded = await findRegions(frameOf(figure.image), {
      ...people,
      background: [{ box }],
    } as unknown as People);
    for (let y = 60; y < 360; y++) {
      for (let x = 294; x < 378; x++) expect(crowded.background!.data[y * 420 + x]).toBe(0);
    }
    expect(crowded.background!.data[400 * 420 + 336]).toBe(255);
  });
});

describe('regions of other figures', () => {
  it.each([
    ['far', 1000, 1130],
    ['near', 1900, 2000],
  ] as const)(
    'have the eyes in shares of the frame when the native picture is larger: %s',
    async (_, figurePx, feet) => {
      const native = drawFigure({ ...options, width: 840, height: 1200, figurePx, feet: [420, feet] });
      const reduced = Uint8Array.from(
        resample(native.image, { x: 0, y: 0, width: 840, height: 1200 }, 420, 600),
        Math.round,
      );
      const analysis = { width: 420, height: 600, data: reduced };
      const [x, y, width, height] = native.box;
      const people = await peopleOf({
        ...native,
        image: analysis,
        box: [x, y, width, Math.min(height, 1 - y)],
      });
      const { faces, subject } = await findRegions(frameOf(native.image, analysis), people);
      expect(subject!.width).toBe(420);
      expect(faces[0]!.eyes).toHaveLength(2);
      // Drawn radius of the iris: 0.0049 figure heights.
      const radiusPx = 0.0049 * figurePx;
      for (const [index, eye] of faces[0]!.eyes.entries()) {
        const [eyeX, eyeY] = native.eyes[index]!;
        const distance = Math.hypot((eye.irisCentre[0] - eyeX) * 840, (eye.irisCentre[1] - eyeY) * 1200);
        expect(distance).toBeLessThan(radiusPx);
        expect(Math.abs(eye.irisRadius * 840 - radiusPx)).toBeLessThan(0.5 * radiusPx);
      }
    },
  );

  it('say that dark glasses cover the eyes', async () => {
    const figure = drawFigure({ ...options, sunglasses: true });
    const { faces } = await findRegions(frameOf(figure.image), await peopleOf(figure));
    expect(faces).toHaveLength(1);
    expect(faces[0]!.eyes).toEqual([]);
    expect(faces[0]!.eyesReason).toMatch(/covered by dark glasses/);
  });

  it.each([
    ['dark skin', { skin: [96, 62, 46], hair: [18, 16, 16], cloth: [200, 190, 180] }],
    ['pale cloth', { cloth: [235, 235, 238] }],
    ['green cloth', { cloth: [60, 120, 70] }],
  ] as const)('find the cloth with %s', async (_, colours) => {
    const figure = drawFigure({ ...options, ...colours });
    const { garment } = await findRegions(frameOf(figure.image), await peopleOf(figure));
    expect(overlap(garment, figure, ['cloth'])).toBeGreaterThan(0.8);
  });

  it('find the cloth of a figure cut at the waist', async () => {
    const whole = standard;
    const height = 330;
    const cut: FigurePicture = {
      ...whole,
      image: { width: 420, height, data: whole.image.data.slice(0, 3 * 420 * height) },
      parts: whole.parts.slice(0, 420 * height),
      box: [whole.box[0], (whole.box[1] * 600) / height, whole.box[2], 1 - (whole.box[1] * 600) / height],
    };
    const { garment } = await findRegions(frameOf(cut.image), await peopleOf(cut));
    expect(overlap(garment, cut, ['cloth'])).toBeGreaterThan(0.8);
  });

  it('are empty with a reason for each where there is no model', async () => {
    const people = { subjects: [], background: [], reason: {} } as unknown as People;
    const { image } = standard;
    const regions = await findRegions(frameOf(image), people);
    expect([regions.subject, regions.garment, regions.skin, regions.faces]).toEqual([null, null, null, []]);
    expect(Object.keys(regions.reason).sort()).toEqual(['faces', 'garment', 'skin', 'subject']);
    expect(regions.background!.data.every((value) => value === 255)).toBe(true);
  });

  it('say why the background is missing where a person fills the frame', async () => {
    const { image } = standard;
    const people = { subjects: [], background: [{ box: [0, 0, 1, 1] }], reason: {} } as unknown as People;
    const regions = await findRegions(frameOf(image), people);
    expect(regions.background).toBeNull();
    expect(regions.reason.background).toMatch(/fill the frame/);
  });

  it('take a picture of one px', async () => {
    const image = { width: 1, height: 1, data: Uint8Array.of(120, 110, 100) };
    const people = {
      subjects: [{ box: [0, 0, 1, 1], score: 0.5, mask: null, maskKind: null, keypoints: [], because: '' }],
      background: [],
      reason: {},
    } as unknown as People;
    const regions = await findRegions(frameOf(image), people);
    expect(regions.faces).toEqual([]);
    expect(regions.reason.faces).toMatch(/No face/);
  });
});
