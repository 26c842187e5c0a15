/** Decoders of the networks for faces on a drawn figure, whose eyes are known from the drawing. */
import { describe, expect, it } from 'vitest';
import type { Rgb8 } from '../../../../pipeline/contracts/frame-image.ts';
import { detectFaces } from '../../../../pipeline/measure/networks/face-detection.ts';
import { meshFace } from '../../../../pipeline/measure/networks/face-mesh.ts';
import { findIris } from '../../../../pipeline/measure/networks/iris.ts';
import { drawFigure } from '../../../helpers/figure-picture.ts';

const figurePx = 1400;
const { image, eyes } = drawFigure({ width: 320, height: 320, figurePx, feet: [170, 1440] });
const eyesPx = eyes.map(([x, y]) => [x * image.width, y * image.height] as const);
const face = { x: 170, y: 40 + 0.08 * figurePx };
const square = { centreX: face.x, centreY: face.y, side: 220, angle: 0 };

function mirrored({ width, height, data }: Rgb8): Rgb8 {
  const result = new Uint8Array(data.length);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      result.set(
        data.subarray(3 * (y * width + width - 1 - x), 3 * (y * width + width - x)),
        3 * (y * width + x),
      );
    }
  }
  return { width, height, data: result };
}

describe('face detection', () => {
  it('finds one face with the eyes where they are drawn', async () => {
    const faces = await detectFaces(image, { x: -80, y: -80, width: 480, height: 480 }, 0.5);
    expect(faces).toHaveLength(1);
    const { rightEye, leftEye } = faces[0]!.points;
    for (const [found, drawn] of [
      [rightEye, eyesPx[0]!],
      [leftEye, eyesPx[1]!],
    ] as const) {
      expect(Math.hypot(found[0] * image.width - drawn[0], found[1] * image.height - drawn[1])).toBeLessThan(
        12,
      );
    }
  });

  it('finds none in an empty part', async () => {
    expect(await detectFaces(image, { x: 0, y: 0, width: 70, height: 70 }, 0.5)).toEqual([]);
  });
});

describe('face mesh', () => {
  it('knows a face from an empty part', async () => {
    expect((await meshFace(image, square)).presence).toBeGreaterThan(0.9);
    const empty = { centreX: 40, centreY: 40, side: 60, angle: 0 };
    expect((await meshFace(image, empty)).presence).toBeLessThan(0.5);
  });

  it.each([0, 0.3])('surrounds the drawn eyes, the square off centre and turned by %s rad', async (angle) => {
    const askew = { centreX: face.x + 30, centreY: face.y + 20, side: 260, angle };
    const { points } = await meshFace(image, askew);
    // Corners of the person's right eye (33, 133) and left eye (362, 263).
    for (const [from, to, drawn] of [
      [33, 133, eyesPx[0]!],
      [362, 263, eyesPx[1]!],
    ] as const) {
      const x = (points[from]!.x + points[to]!.x) / 2;
      const y = (points[from]!.y + points[to]!.y) / 2;
      expect(Math.hypot(x - drawn[0], y - drawn[1])).toBeLessThan(10);
    }
  });
});

describe('iris', () => {
  const around = (index: 0 | 1) => ({
    centreX: eyesPx[index]![0],
    centreY: eyesPx[index]![1],
    side: 66,
    angle: 0,
  });

  it.each([
    ['right', 0],
    ['left', 1],
  ] as const)('finds the %s iris and its rim', async (side, index) => {
    const { iris, outline } = await findIris(image, around(index), side);
    const [centre, ...rim] = iris;
    expect(Math.hypot(centre![0] - eyesPx[index]![0], centre![1] - eyesPx[index]![1])).toBeLessThan(2.5);
    const drawnRadius = 0.0049 * figurePx;
    for (const point of rim) {
      const radius = Math.hypot(point[0] - centre![0], point[1] - centre![1]);
      expect(Math.abs(radius - drawnRadius)).toBeLessThan(0.4 * drawnRadius);
    }
    expect(outline).toHaveLength(71);
  });

  it('sees the mirrored left eye as it sees the right one', async () => {
    const right = await findIris(image, around(0), 'right');
    const { centreX, ...rest } = around(0);
    const left = await findIris(mirrored(image), { ...rest, centreX: image.width - centreX }, 'left');
    for (const [index, [x, y]] of right.iris.entries()) {
      expect(left.iris[index]![0]).toBeCloseTo(image.width - x, 1);
      expect(left.iris[index]![1]).toBeCloseTo(y, 1);
    }
  });
});
