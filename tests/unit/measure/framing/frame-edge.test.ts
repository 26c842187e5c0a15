import { describe, expect, it } from 'vitest';
import { cutByEdge } from '../../../../pipeline/measure/framing/frame-edge.ts';
import type { PersonMask } from '../../../../pipeline/measure/networks/blazepose.ts';

const frame = { width: 200, height: 300 };

/** A mask over a square of 300 px around the frame, covered where asked, by px of the frame. */
function mask(covered: (x: number, y: number) => boolean): PersonMask {
  const side = 150;
  const region = { x: -50, y: 0, width: 300, height: 300 };
  const cover = new Float32Array(side * side);
  for (let row = 0; row < side; row++) {
    for (let column = 0; column < side; column++) {
      cover[row * side + column] = covered(-50 + 2 * column + 1, 2 * row + 1) ? 1 : 0;
    }
  }
  return { presence: 1, side, cover, region, points: [] };
}

describe('the frame edge', () => {
  const box = [0.25, 0.1, 0.5, 0.86] as const;

  it('cuts a body whose mask goes on to it', () => {
    const legs = mask((x, y) => x > 80 && x < 120 && y > 100);
    expect(cutByEdge('bottom', legs, box, frame)).toBe(true);
    expect(cutByEdge('top', legs, box, frame)).toBe(false);
  });

  it('does not cut one that ends above it, nor for a stray cell', () => {
    expect(
      cutByEdge(
        'bottom',
        mask((x, y) => x > 80 && x < 120 && y < 288),
        box,
        frame,
      ),
    ).toBe(false);
    expect(
      cutByEdge(
        'bottom',
        mask((x) => x > 80 && x < 88),
        box,
        frame,
      ),
    ).toBe(false);
  });

  it('cuts where the box itself ends at it', () => {
    const nothing = mask(() => false);
    expect(cutByEdge('bottom', nothing, [0.25, 0.1, 0.5, 0.895], frame)).toBe(true);
    expect(cutByEdge('top', nothing, [0.25, 0.005, 0.5, 0.8], frame)).toBe(true);
  });
});
