import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cutByTile } from '../../../../pipeline/measure/people/looks.ts';
import { planTiles } from '../../../../pipeline/measure/people/passes.ts';

describe('tiles', () => {
  it('lie inside the picture, cover all of it, and are few', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1280 }), fc.integer({ min: 1, max: 1280 }), (width, height) => {
        const tiles = planTiles(width, height);
        expect(tiles.length).toBeLessThanOrEqual(11);
        for (const { x, y, width: w, height: h } of tiles) {
          expect(x >= 0 && y >= 0 && x + w <= width && y + h <= height).toBe(true);
        }
        if (tiles.length === 0) return;
        for (const along of ['x', 'y'] as const) {
          const length = along === 'x' ? width : height;
          const side = along === 'x' ? 'width' : 'height';
          let reached = 0;
          for (const tile of [...tiles].sort((a, b) => a[along] - b[along])) {
            expect(tile[along]).toBeLessThanOrEqual(reached);
            reached = Math.max(reached, tile[along] + tile[side]);
          }
          expect(reached).toBe(length);
        }
      }),
    );
  });

  it('are two at 2:3 and none in a square', () => {
    expect(planTiles(853, 1280)).toHaveLength(2);
    expect(planTiles(1280, 853)).toHaveLength(2);
    expect(planTiles(900, 900)).toEqual([]);
  });
});

describe('a box at the edge of a tile', () => {
  const picture = { width: 100, height: 300 };
  const upper = { x: 0, y: 0, width: 100, height: 100 };

  it('is cut where the tile ends inside the picture', () => {
    expect(cutByTile([20, 60, 20, 40], upper, picture)).toBe(true);
    expect(cutByTile([20, 60, 20, 30], upper, picture)).toBe(false);
  });

  it('is whole where the tile ends with the picture', () => {
    expect(cutByTile([0, 0, 20, 40], upper, picture)).toBe(false);
    expect(cutByTile([0, 205, 20, 95], { ...upper, y: 200 }, picture)).toBe(false);
    expect(cutByTile([0, 201, 20, 95], { ...upper, y: 200 }, picture)).toBe(true);
  });
});
