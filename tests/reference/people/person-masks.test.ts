import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { decodeFrame } from '../../../pipeline/decode/decode-frame.ts';
import { outlinePerson } from '../../../pipeline/measure/people/person-outline.ts';
import { deliveryFolder, trueFrames, unrolled } from '../../helpers/demo-truth.ts';

/**
 * Masks against the demo shoot's truth: the renderer knows which px each figure covers. The truth is 150 rows high, so each of its
 * edges is right to half a row, a third of a percent of the frame's long edge.
 */

const truths = new Map(trueFrames().map((truth) => [truth.frame, truth]));

/** Cells inside with a neighbour outside; the frame's own edge is no outline. */
function outline(inside: readonly boolean[], columns: number): [number, number][] {
  return inside.flatMap((here, at): [number, number][] => {
    const [x, y] = [at % columns, Math.floor(at / columns)];
    const neighbours = [x > 0 ? at - 1 : at, x < columns - 1 ? at + 1 : at, at - columns, at + columns];
    return here && neighbours.some((other) => inside[other] === false) ? [[x, y]] : [];
  });
}

/** Mean distance from the points of each outline to the nearest of the other. */
function meanDistance(a: [number, number][], b: [number, number][]): number {
  const nearest = (from: [number, number][], to: [number, number][]) =>
    from.map(([x, y]) => Math.min(...to.map(([u, v]) => Math.hypot(x - u, y - v))));
  const all = [...nearest(a, b), ...nearest(b, a)];
  return all.reduce((sum, distance) => sum + distance, 0) / all.length;
}

describe('mask of a person against the renderer', () => {
  it.each([
    'linen-shift/a-0412.jpg',
    'linen-shift/a-0419.jpg',
    'linen-shift/a-0423.jpg',
    'linen-shift/a-0426.jpg',
    'tea-dress/a-0447.jpg',
    'tea-dress/a-0458.jpg',
  ])('%s: the outline is right to one part in a hundred of the long edge', async (frame) => {
    const { image } = await decodeFrame(readFileSync(join(deliveryFolder, frame)));
    for (const { box, mask } of truths.get(frame)?.people ?? []) {
      const { rows, columns } = mask;
      const found = (await outlinePerson(image.analysis, box)).mask;
      const inside = Array.from({ length: rows * columns }, (_, at) => {
        const x = Math.floor((((at % columns) + 0.5) / columns) * found.width);
        const y = Math.floor(((Math.floor(at / columns) + 0.5) / rows) * found.height);
        return found.data[y * found.width + x]! >= 128;
      });
      const error =
        meanDistance(outline(inside, columns), outline(unrolled(mask), columns)) / Math.max(rows, columns);
      expect(error).toBeLessThanOrEqual(0.01);
    }
  });

  it('is a generous shape around somebody too small for an outline, open where the frame cuts', async () => {
    const image = { width: 100, height: 150, data: new Uint8Array(3 * 100 * 150).fill(128) };
    const { kind, mask } = await outlinePerson(image, [0, 0.5, 0.03, 0.06]);
    expect(kind).toBe('shape');
    const at = (x: number, y: number) => mask.data[y * 100 + x]!;
    expect([at(0, 75), at(1, 80), at(0, 83)]).toEqual([255, 255, 255]);
    expect([at(10, 80), at(1, 60), at(1, 95)]).toEqual([0, 0, 0]);
  });
});
