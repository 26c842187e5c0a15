import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { flatPx, flatReach } from '../../../pipeline/numeric/flat-px.ts';
import type { RgbPicture } from '../../../pipeline/numeric/resample.ts';
import { seededRandom } from '../../helpers/random.ts';

const limits = { darkest: 50, brightest: 245, mostStep: 3 };

/** Px of a square: sums are whole numbers, where a difference of means may be rounded over a limit that it meets. */
const squarePx = 25;

function squareSum({ width, data }: RgbPicture, x: number, y: number, channel: number): number {
  let sum = 0;
  for (let v = y - 2; v <= y + 2; v++) {
    for (let u = x - 2; u <= x + 2; u++) sum += data[3 * (v * width + u) + channel]!;
  }
  return sum;
}

/** The docstring written out. */
function isFlat(picture: RgbPicture, x: number, y: number): boolean {
  return [0, 1, 2].every((channel) => {
    const sum = (u: number, v: number) => squareSum(picture, u, v, channel);
    const steps = [sum(x + 1, y) - sum(x - 1, y), sum(x, y + 1) - sum(x, y - 1)];
    const here = sum(x, y);
    return (
      here >= squarePx * limits.darkest &&
      here <= squarePx * limits.brightest &&
      steps.every((step) => Math.abs(step) <= squarePx * limits.mostStep)
    );
  });
}

describe('flat px', () => {
  it('are those whose squares are well exposed and do not step, in every channel', () => {
    const inside = fc.integer({ min: 1, max: 40 });
    const codes = fc.constantFrom([0, 40], [45, 60], [100, 30], [235, 25], [0, 256]);
    fc.assert(
      fc.property(inside, inside, fc.nat(9), codes, fc.nat(), (columns, rows, left, [from, range], seed) => {
        const [width, height] = [columns + 2 * flatReach + left, rows + 2 * flatReach + 3];
        const random = seededRandom(seed);
        const data = Uint8Array.from({ length: 3 * width * height }, () => from! + range! * random());
        const area = { left: left + 2, top: 3, right: left + 2 + columns, bottom: 3 + rows };
        const runs = flatPx({ width, height, data }, area, limits);
        const found = new Set<string>();
        for (let run = 0; run < runs.count; run++) {
          for (let x = runs.start[run]!; x < runs.end[run]!; x++) found.add(`${x} ${runs.row[run]}`);
        }
        for (let y = 1; y < rows - 1; y++) {
          for (let x = 1; x < columns - 1; x++) {
            const flat = isFlat({ width, height, data }, area.left + x, area.top + y);
            expect(found.delete(`${x} ${y}`)).toBe(flat);
          }
        }
        expect(found.size).toBe(0);
      }),
      { numRuns: 60 },
    );
  });
});
