import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { edgePoints, type Window } from '../../../pipeline/numeric/gradient.ts';
import type { LumaPlane } from '../../../pipeline/numeric/luma.ts';
import { seededRandom } from '../../helpers/random.ts';

/** Whole levels, so that neighbours often have the same gradient. */
function plane(width: number, height: number, levels: number): LumaPlane {
  const random = seededRandom(1000 * width + height);
  const data = Float32Array.from({ length: width * height }, () => Math.floor(levels * random()));
  return { width, height, data };
}

/** [1 4 6 4 1] / 16 and [-1 -2 0 2 1] / 8 round place `i`, `step` from sample to sample. */
function smooth(d: Float32Array, i: number, step: number): number {
  const outer = d[i - 2 * step]! + d[i + 2 * step]!;
  return (outer + 4 * (d[i - step]! + d[i + step]!) + 6 * d[i]!) / 16;
}
function slope(d: Float32Array, i: number, step: number): number {
  return (d[i + 2 * step]! - d[i - 2 * step]! + 2 * (d[i + step]! - d[i - step]!)) / 8;
}

/** The points of the docstring, sample by sample: number of the sample and normal. */
function pointsWrittenOut({ width: w, height: h, data }: LumaPlane, threshold: number, window: Window) {
  const make = () => new Float32Array(w * h);
  const [smoothed, sloped, gx, gy, square] = [make(), make(), make(), make(), make()];
  for (let i = 2 * w; i < (h - 2) * w; i++) {
    smoothed[i] = smooth(data, i, w);
    sloped[i] = slope(data, i, w);
  }
  for (let i = 2 * w + 2; i < (h - 2) * w - 2; i++) {
    const [dx, dy] = [slope(smoothed, i, 1), smooth(sloped, i, 1)];
    [gx[i], gy[i], square[i]] = [dx, dy, dx * dx + dy * dy];
  }
  const points = new Map<number, readonly [number, number]>();
  for (let y = Math.max(3, window.top); y < Math.min(h - 3, window.bottom); y++) {
    for (let x = Math.max(3, window.left); x < Math.min(w - 3, window.right); x++) {
      const i = y * w + x;
      // In eighths of a turn from the x axis to the y axis, half a turn the same as none.
      const eighth = Math.round((4 * Math.atan2(gy[i]!, gx[i]!)) / Math.PI + 4) % 4;
      const next = [1, w + 1, w, w - 1][eighth]!;
      if (square[i]! < threshold ** 2 || square[i]! < square[i + next]! || square[i]! <= square[i - next]!)
        continue;
      const inverse = 1 / Math.sqrt(square[i]!);
      points.set(i, [Math.fround(gx[i]! * inverse), Math.fround(gy[i]! * inverse)]);
    }
  }
  return points;
}

describe('edge points', () => {
  it('are the largest gradients along their normal, to the last bit, in any window of any plane', () => {
    const side = fc.integer({ min: 1, max: 60 });
    const edge = fc.integer({ min: -10, max: 70 });
    fc.assert(
      fc.property(
        side,
        side,
        fc.constantFrom(2, 4, 256),
        fc.double({ min: 0.01, max: 30, noNaN: true }),
        fc.record({ left: edge, top: edge, right: edge, bottom: edge }),
        (width, height, levels, threshold, window) => {
          const tile = plane(width, height, levels);
          const expected = pointsWrittenOut(tile, threshold, window);
          const { count, index, nx, ny } = edgePoints(tile, threshold, window);
          expect([...index].sort((a, b) => a - b)).toEqual([...expected.keys()]);
          for (let k = 0; k < count; k++) expect([nx[k], ny[k]]).toEqual(expected.get(index[k]!));
        },
      ),
      { numRuns: 300 },
    );
  });

  it('come in falling order of their gradients, within an eighth of a level', () => {
    const { count, nx, ny, index } = edgePoints(plane(80, 60, 256), 1);
    const tile = plane(80, 60, 256);
    let before = Number.POSITIVE_INFINITY;
    expect(count).toBeGreaterThan(100);
    for (let k = 0; k < count; k++) {
      const i = index[k]!;
      const across = new Float32Array(5).map((_, j) => smooth(tile.data, i + j - 2, 80));
      const down = new Float32Array(5).map((_, j) => slope(tile.data, i + j - 2, 80));
      const magnitude = Math.hypot(slope(across, 2, 1), smooth(down, 2, 1));
      expect(magnitude).toBeLessThan(before + 1 / 8);
      expect(Math.hypot(nx[k]!, ny[k]!)).toBeCloseTo(1, 6);
      before = Math.min(before, magnitude);
    }
  });
});
