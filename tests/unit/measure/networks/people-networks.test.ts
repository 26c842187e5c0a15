/** Decoders of the networks for people on drawn figures, whose places are known from the drawing. */
import { describe, expect, it } from 'vitest';
import type { Box } from '../../../../pipeline/contracts/box.ts';
import type { Rgb8 } from '../../../../pipeline/contracts/frame-image.ts';
import type { BodyPoint } from '../../../../pipeline/contracts/measurement/people.ts';
import { maskPerson, type PersonMask } from '../../../../pipeline/measure/networks/blazepose.ts';
import { estimatePoses } from '../../../../pipeline/measure/networks/movenet-multipose.ts';
import { estimatePose } from '../../../../pipeline/measure/networks/movenet-thunder.ts';
import { detectObjects } from '../../../../pipeline/measure/networks/nanodet.ts';
import { intersectionOverUnion } from '../../../../pipeline/numeric/boxes.ts';
import { drawFigure } from '../../../helpers/figure-picture.ts';

const figure = drawFigure({ width: 480, height: 640, figurePx: 520, feet: [200, 600] });
const { image, box, eyes, parts } = figure;

/** The lower part cut away, as a waist crop does. */
function cutAt(share: number): { image: Rgb8; box: Box } {
  const height = Math.round(image.height * share);
  const scale = image.height / height;
  return {
    image: { width: image.width, height, data: image.data.slice(0, 3 * image.width * height) },
    box: [box[0], box[1] * scale, box[2], 1 - box[1] * scale],
  };
}

function maskOverlap(mask: PersonMask, rows: number): number {
  let [shared, either] = [0, 0];
  for (let y = 0; y < rows; y++) {
    for (let x = 0; x < image.width; x++) {
      const u = Math.floor(((x + 0.5 - mask.region.x) / mask.region.width) * mask.side);
      const v = Math.floor(((y + 0.5 - mask.region.y) / mask.region.height) * mask.side);
      const inside = u >= 0 && v >= 0 && u < mask.side && v < mask.side;
      const found = inside && mask.cover[v * mask.side + u]! > 0.5;
      const drawn = parts[y * image.width + x] !== 'background';
      if (found && drawn) shared++;
      if (found || drawn) either++;
    }
  }
  return shared / either;
}

function expectEyes(points: readonly BodyPoint[], tolerance: number): void {
  // The person's right eye is on the left of the picture.
  for (const [name, drawn] of [
    ['right-eye', eyes[0]],
    ['left-eye', eyes[1]],
  ] as const) {
    const found = points.find((point) => point.name === name)!;
    const distance = Math.hypot(
      (found.at[0] - drawn[0]) * image.width,
      (found.at[1] - drawn[1]) * image.height,
    );
    expect(distance, name).toBeLessThan(tolerance);
  }
}

describe('nanodet', () => {
  it('finds the figure and nothing else', async () => {
    const found = await detectObjects(image, { minScore: 0.3 });
    expect(found).toHaveLength(1);
    expect(found[0]!.classId).toBe(0);
    expect(intersectionOverUnion(found[0]!.box, box)).toBeGreaterThan(0.75);
  });

  it('gives boxes as shares of the whole picture when only a part is searched', async () => {
    const [found] = await detectObjects(image, {
      minScore: 0.3,
      region: { x: 60, y: 40, width: 300, height: 580 },
    });
    expect(intersectionOverUnion(found!.box, box)).toBeGreaterThan(0.75);
  });

  it.each([
    [40, 110, 90],
    [40, 60, 150],
    [200, 190, 60],
  ])(
    'is surer of skin than of blue faces: colours reach it in their order (cloth %i %i %i)',
    async (...cloth) => {
      const dressed = drawFigure({ width: 480, height: 640, figurePx: 520, feet: [200, 600], cloth }).image;
      const swapped = dressed.data.map((_, at) => dressed.data[at - (at % 3) + 2 - (at % 3)]!);
      const [seen] = await detectObjects(dressed, { minScore: 0.1 });
      const [blue] = await detectObjects({ ...dressed, data: swapped }, { minScore: 0.1 });
      expect(seen!.score).toBeGreaterThan(blue!.score + 0.03);
    },
  );

  it('finds nobody in an empty part', async () => {
    const region = { x: 330, y: 0, width: 150, height: 150 };
    expect(await detectObjects(image, { minScore: 0.3, region })).toEqual([]);
  });

  it('keeps overlapping boxes only when asked to', async () => {
    const kept = await detectObjects(image, { minScore: 0.3, maxOverlap: null });
    expect(kept.length).toBeGreaterThan(1);
    const scores = kept.map(({ score }) => score);
    expect(scores).toEqual([...scores].sort((a, b) => b - a));
  });

  it('answers for other classes on request', async () => {
    const found = await detectObjects(image, { minScore: 0.01, classIds: [24, 26] });
    expect(found.every(({ classId }) => classId === 24 || classId === 26)).toBe(true);
  });

  it('finds the figure at the same place where it sees it with left and right changed', async () => {
    const [plain] = await detectObjects(image, { minScore: 0.3 });
    const [mirrored] = await detectObjects(image, { minScore: 0.3, mirrored: true });
    expect(intersectionOverUnion(mirrored!.box, box)).toBeGreaterThan(0.75);
    expect(mirrored).not.toEqual(plain);
  });

  it('keeps pictures apart that are looked at at once', async () => {
    const empty = { ...image, data: new Uint8Array(image.data.length) };
    const alone = await detectObjects(image, { minScore: 0.1 });
    const together = await Promise.all(
      [image, empty, image].map((of) => detectObjects(of, { minScore: 0.1 })),
    );
    expect(together).toEqual([alone, [], alone]);
  });

  it('takes a picture of one px', async () => {
    expect(
      await detectObjects({ width: 1, height: 1, data: Uint8Array.of(9, 9, 9) }, { minScore: 0.3 }),
    ).toEqual([]);
  });
});

describe('movenet', () => {
  it('thunder puts the eyes where they are drawn', async () => {
    const points = await estimatePose(image, box);
    expect(points).toHaveLength(17);
    expectEyes(points, 8);
    const ankle = points.find(({ name }) => name === 'left-ankle')!;
    expect(ankle.at[1] * image.height).toBeGreaterThan(540);
  });

  it('multipose finds one person with the eyes where they are drawn', async () => {
    const found = await estimatePoses(image, 0.2);
    expect(found).toHaveLength(1);
    expect(intersectionOverUnion(found[0]!.box, box)).toBeGreaterThan(0.7);
    expectEyes(found[0]!.points, 12);
  });

  it('multipose gives shares of the whole picture when only a part is searched', async () => {
    const [found] = await estimatePoses(image, 0.2, { x: 40, y: 30, width: 330, height: 600 });
    expectEyes(found!.points, 12);
  });
});

describe('blazepose', () => {
  it('masks the figure', async () => {
    const mask = await maskPerson(image, box);
    expect(mask.presence).toBeGreaterThan(0.5);
    expect(maskOverlap(mask, image.height)).toBeGreaterThan(0.85);
    // Point 0 is the nose.
    expect(mask.points[0]!.at[1] * image.height).toBeCloseTo((eyes[0][1] + 0.01) * image.height, -1.5);
  });

  it('masks a figure that the frame cuts at the chest', async () => {
    const cut = cutAt(0.38);
    expect(maskOverlap(await maskPerson(cut.image, cut.box), cut.image.height)).toBeGreaterThan(0.8);
  });
});
