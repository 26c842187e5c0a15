import { describe, expect, it } from 'vitest';
import { insidePolygon, nearestOnSegment, type PointTuple } from '../../../pipeline/numeric/polygon.ts';

const nearest = (from: PointTuple, to: PointTuple, x: number, y: number) => {
  const found = { distance: 0, along: 0 };
  nearestOnSegment(from, to, x, y, found);
  return found;
};

describe('polygon', () => {
  it('tells inside from outside, also in a notch', () => {
    const notched: PointTuple[] = [
      [0, 0],
      [4, 0],
      [4, 4],
      [2, 1],
      [0, 4],
    ];
    expect(insidePolygon(notched, 1, 1)).toBe(true);
    expect(insidePolygon(notched, 3.5, 2)).toBe(true);
    expect(insidePolygon(notched, 2, 3)).toBe(false);
    expect(insidePolygon(notched, 5, 1)).toBe(false);
  });
});

describe('segment', () => {
  it('is 5 away from a point 3 beside and 4 beyond its end', () => {
    expect(nearest([0, 0], [10, 0], 14, 3)).toEqual({ distance: 5, along: 1 });
  });

  it('is reached at the foot of the perpendicular between its ends', () => {
    expect(nearest([0, 0], [10, 0], 2.5, -7)).toEqual({ distance: 7, along: 0.25 });
  });

  it('without length is its point', () => {
    expect(nearest([1, 1], [1, 1], 4, 5)).toEqual({ distance: 5, along: 0 });
  });
});
