import { existsSync, mkdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import type { Box } from '../../../pipeline/contracts/box.ts';
import type { FrameResult, Results } from '../../../pipeline/contracts/results.ts';
import { picturesFolder } from '../../../pipeline/report/links.ts';
import { previewOf } from '../../../pipeline/report/preview-plan.ts';
import { writePreviews } from '../../../pipeline/tasks/write-previews.ts';
import { demoResults } from '../../helpers/demo-results.ts';
import { aMeasurement } from '../../helpers/measurement.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

/** Frames on which the model is a red box somewhere, in one size or another: in the preview it must stand still. */

const frameSize = { width: 600, height: 900 } as const;

function frame(index: number, box: Box, points: boolean, over: Partial<FrameResult> = {}): FrameResult {
  const [x, y, width, height] = box;
  const at = (name: 'left-shoulder' | 'right-shoulder' | 'left-hip' | 'right-hip', down: number) => ({
    name,
    at: [x + width / 2, y + down * height] as const,
    score: 0.9,
  });
  const keypoints = points
    ? [at('left-shoulder', 0.18), at('right-shoulder', 0.18), at('left-hip', 0.5), at('right-hip', 0.5)]
    : [];
  const measurement = aMeasurement({
    file: { ...frameSize },
    framing: { crop: 'full', view: index % 2 ? 'back' : 'front' },
    people: { subjects: [{ box, score: 0.9, mask: null, maskKind: null, keypoints, because: '' }] },
  });
  return {
    id: `coat/${index}.jpg`,
    garment: 'coat',
    verdict: 'pass',
    findings: [],
    measurement: {
      ...measurement,
      contentHash: String(index).repeat(64),
      pictures: [{ file: 'frame.jpg', shows: 'frame', box: [0, 0, 1, 1], ...frameSize }],
    },
    ...over,
  };
}

async function report(
  frames: readonly FrameResult[],
  noise = false,
): Promise<{ folder: string; results: Results }> {
  const folder = scratchFolder();
  for (const { measurement } of frames) {
    const [x, y, width, height] = measurement!.people.subjects[0]!.box;
    const red = { width: Math.round(width * 600), height: Math.round(height * 900) };
    const background = noise
      ? { ...frameSize, channels: 3 as const, noise: { type: 'gaussian' as const, mean: 128, sigma: 80 } }
      : { ...frameSize, channels: 3 as const, background: '#20c040' };
    const picture = sharp({ create: { background: '#000', ...background } }).composite([
      {
        input: { create: { ...red, channels: 3, background: '#e01010' } },
        left: Math.round(x * 600),
        top: Math.round(y * 900),
      },
    ]);
    const path = join(folder, picturesFolder(measurement!.contentHash));
    mkdirSync(path, { recursive: true });
    writeFileSync(join(path, 'frame.jpg'), await picture.jpeg({ quality: 95 }).toBuffer());
  }
  const garment = { ...demoResults.garments[0]!, id: 'coat', frames: frames.map(({ id }) => id) };
  return { folder, results: { ...demoResults, garments: [garment], frames: [...frames] } };
}

/** Middle and height of the red box on one page of a moving picture, as shares of the page. */
async function redBox(file: string, page: number): Promise<{ x: number; top: number; bottom: number }> {
  const { data, info } = await sharp(file, { page })
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  let [left, right, top, bottom] = [info.width, -1, info.height, -1];
  for (let y = 0; y < info.height; y += 1)
    for (let x = 0; x < info.width; x += 1) {
      const at = 3 * (y * info.width + x);
      if (data[at]! < 150 || data[at + 1]! > 110) continue;
      [left, right, top, bottom] = [
        Math.min(left, x),
        Math.max(right, x),
        Math.min(top, y),
        Math.max(bottom, y),
      ];
    }
  return { x: (left + right) / 2 / info.width, top: top / info.height, bottom: bottom / info.height };
}

const boxes: readonly Box[] = [
  [0.3, 0.1, 0.3, 0.8],
  [0.15, 0.15, 0.25, 0.7],
  [0.5, 0.2, 0.24, 0.64],
];

describe('a moving preview', () => {
  it.each([true, false])('keeps the model in one place and size, body points seen: %s', async (points) => {
    const { folder, results } = await report(boxes.map((box, index) => frame(index, box, points)));
    expect(await writePreviews(folder, results, true)).toEqual({
      written: ['previews/coat.webp', 'previews/coat.gif'],
      left: [],
    });
    const file = join(folder, 'previews', 'coat.webp');
    const { pages, loop, delay } = await sharp(file, { animated: true }).metadata();
    expect([pages, loop, delay]).toEqual([3, 0, [900, 900, 900]]);
    const first = await redBox(file, 0);
    for (const page of [1, 2]) {
      const other = await redBox(file, page);
      for (const key of ['x', 'top', 'bottom'] as const)
        expect(Math.abs(other[key] - first[key])).toBeLessThan(0.012);
    }
    expect(first.x).toBeCloseTo(0.5, 1);
  });

  it('stays below 1.5 MB also where nothing compresses', async () => {
    const { folder, results } = await report(
      Array.from({ length: 5 }, (_, index) => frame(index, boxes[0]!, true)),
      true,
    );
    expect((await writePreviews(folder, results, false)).written).toEqual(['previews/coat.webp']);
    expect(statSync(join(folder, 'previews', 'coat.webp')).size).toBeLessThanOrEqual(1_500_000);
  });

  it('shows one crop, frames that pass, front before back', () => {
    const made = [
      frame(1, boxes[0]!, true),
      frame(2, boxes[0]!, true),
      frame(3, boxes[0]!, true, { verdict: 'cleanup' }),
    ];
    const garment = { ...demoResults.garments[0]!, id: 'coat' };
    const plan = previewOf(garment, { ...demoResults, frames: made });
    expect(plan.map((one) => one.frame.id)).toEqual(['coat/2.jpg', 'coat/1.jpg']);
  });

  it('is not made of one frame, nor where the pictures are gone, and says so', async () => {
    const { folder, results } = await report([frame(1, boxes[0]!, true)]);
    expect((await writePreviews(folder, results, false)).left).toEqual([
      'coat has no preview: fewer than two frames of one crop pass.',
    ]);
    const empty = scratchFolder();
    const two = { ...results, frames: [frame(1, boxes[0]!, true), frame(2, boxes[0]!, true)] };
    expect((await writePreviews(empty, two, false)).written).toEqual([]);
    expect(existsSync(join(empty, 'previews'))).toBe(false);
  });
});
