import { describe, expect, it } from 'vitest';
import { resample } from '../../../pipeline/numeric/resample.ts';
import { fromSquare, sampleSquare } from '../../../pipeline/numeric/rotated-square.ts';

/** A smooth picture whose value at any place is known. */
const value = (x: number, y: number): number => 100 + 50 * Math.sin(x / 9) + 40 * Math.cos(y / 11);
const picture = (() => {
  const [width, height] = [120, 100];
  const data = new Uint8Array(3 * width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++)
      data.fill(Math.round(value(x + 0.5, y + 0.5)), 3 * (y * width + x), 3 * (y * width + x) + 3);
  }
  return { width, height, data };
})();

describe('rotated square', () => {
  it('without a turn is the plain cut', () => {
    const square = { centreX: 60, centreY: 50, side: 40, angle: 0 };
    expect(sampleSquare(picture, square, 20)).toEqual(
      resample(picture, { x: 40, y: 30, width: 40, height: 40 }, 20, 20),
    );
  });

  it.each([0.2, -1, 2.5])('turned by %s rad shows what lies at the turned places', (angle) => {
    const square = { centreX: 60, centreY: 50, side: 48, angle };
    const side = 24;
    const result = sampleSquare(picture, square, side);
    for (let v = 0; v < side; v++) {
      for (let u = 0; u < side; u++) {
        const [x, y] = fromSquare(square, (u + 0.5) / side, (v + 0.5) / side);
        // The reduction averages over two px, which costs a wave of this length less than two levels.
        expect(Math.abs(result[3 * (v * side + u)]! - value(x, y))).toBeLessThan(2.5);
      }
    }
  });

  it('turns clockwise as seen: a quarter turn brings the right end down', () => {
    const [x, y] = fromSquare({ centreX: 10, centreY: 20, side: 4, angle: Math.PI / 2 }, 1, 0.5);
    expect(x).toBeCloseTo(10, 10);
    expect(y).toBeCloseTo(22, 10);
  });
});
