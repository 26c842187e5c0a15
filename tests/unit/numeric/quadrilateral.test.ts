import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PointTuple } from '../../../pipeline/numeric/polygon.ts';
import {
  anglesOf,
  areaOfPolygon,
  convexHull,
  quadrilateralAround,
  sidesOf,
} from '../../../pipeline/numeric/quadrilateral.ts';

const turned = (x: number, y: number, degrees: number): PointTuple => {
  const angle = (degrees * Math.PI) / 180;
  return [x * Math.cos(angle) - y * Math.sin(angle), x * Math.sin(angle) + y * Math.cos(angle)];
};

describe('four sides around a shape', () => {
  it('are those of a rectangle with its corners cut off', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 89 }), (degrees) => {
        const octagon = [
          [-17, -10],
          [17, -10],
          [20, -7],
          [20, 7],
          [17, 10],
          [-17, 10],
          [-20, 7],
          [-20, -7],
        ].map(([x, y]) => turned(x!, y!, degrees));
        const corners = quadrilateralAround(convexHull(octagon))!;
        expect(areaOfPolygon(corners)).toBeCloseTo(800, 6);
        for (const angle of anglesOf(corners)) expect(angle).toBeCloseTo(90, 6);
        const sides = [...sidesOf(corners)].sort((a, b) => a - b);
        [20, 20, 40, 40].forEach((length, i) => {
          expect(sides[i]).toBeCloseTo(length, 6);
        });
      }),
    );
  });

  it('leave a disc at most pi / 4 of their area, which a square does', () => {
    const disc = Array.from({ length: 90 }, (_, i) => turned(10, 0, 4 * i));
    const hull = convexHull(disc);
    expect(areaOfPolygon(hull) / areaOfPolygon(quadrilateralAround(hull)!)).toBeLessThan(Math.PI / 4 + 1e-9);
  });

  it('are none around a triangle', () => {
    expect(
      quadrilateralAround(
        convexHull([
          [0, 0],
          [4, 0],
          [2, 1],
          [0, 4],
        ]),
      ),
    ).toBeNull();
  });
});
