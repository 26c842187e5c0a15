import { describe, expect, it } from 'vitest';
import { type BodyPoint, bodyPointNames } from '../../../../pipeline/contracts/measurement/people.ts';
import {
  bodyHeightAt,
  bodyLevels,
  partAt,
  showsHead,
} from '../../../../pipeline/measure/framing/body-height.ts';
import { trunkTurn, viewOf } from '../../../../pipeline/measure/framing/view.ts';

/** A square frame with an upright body seen from the front; the subject's left is on the right of the picture. */
const upright: Readonly<Record<string, readonly [number, number]>> = {
  nose: [0.5, 0.14],
  'left-shoulder': [0.56, 0.2],
  'right-shoulder': [0.44, 0.2],
  'left-hip': [0.537, 0.4],
  'right-hip': [0.463, 0.4],
  'left-knee': [0.53, 0.55],
  'right-knee': [0.47, 0.55],
  'left-ankle': [0.53, 0.69],
  'right-ankle': [0.47, 0.69],
};

function body(
  change: (at: readonly [number, number]) => readonly [number, number] = (at) => at,
  score: (name: string) => number = () => 0.8,
): BodyPoint[] {
  return bodyPointNames.map((name) => ({
    name,
    at: change(upright[name] ?? [0.5, 0.12]),
    score: score(name),
  }));
}

describe('the head', () => {
  it('is shown by any one of its points, and by no other point', () => {
    expect(showsHead(body(undefined, (name) => (name === 'left-ear' ? 0.3 : 0.1)))).toBe(true);
    expect(showsHead(body(undefined, (name) => (name.includes('shoulder') ? 0.9 : 0.1)))).toBe(false);
  });
});

describe('heights of the body', () => {
  const levels = bodyLevels(body(), 1)!;

  it('run from 0 at the shoulders to 3 at the ankles', () => {
    expect(bodyHeightAt(0.2, levels)).toBeCloseTo(0, 10);
    expect(bodyHeightAt(0.3, levels)).toBeCloseTo(0.5, 10);
    expect(bodyHeightAt(0.4, levels)).toBeCloseTo(1, 10);
    expect(bodyHeightAt(0.55, levels)).toBeCloseTo(2, 10);
    expect(bodyHeightAt(0.69, levels)).toBeCloseTo(3, 10);
    expect(bodyHeightAt(0.1, levels)).toBeLessThan(0);
    expect(bodyHeightAt(0.9, levels)).toBeGreaterThan(4);
  });

  it('go on below the frame by the proportions of a standing body', () => {
    // The same body moved down so far that the frame ends between hips and knees.
    const low = bodyLevels(
      body(([x, y]) => [x, y + 0.5]),
      1,
    )!;
    expect(low.hips.seen).toBe(true);
    expect(low.knees.seen).toBe(false);
    expect(low.knees.y).toBeCloseTo(0.9 + 0.76 * 0.2, 10);
    expect(partAt(bodyHeightAt(1, low))).toBe('thigh');
  });

  it('rest on the width of the shoulders where the hips are out of the frame', () => {
    const portrait = bodyLevels(
      body(([x, y]) => [x, y + 0.65]),
      1,
    )!;
    expect(portrait.hips.seen).toBe(false);
    // Shoulders 0.12 apart, 0.61 of a trunk.
    expect(portrait.hips.y).toBeCloseTo(0.85 + 0.12 / 0.61, 10);
  });

  it('are unknown without shoulders', () => {
    expect(
      bodyLevels(
        body(undefined, (name) => (name.endsWith('shoulder') ? 0.25 : 0.8)),
        1,
      ),
    ).toBeNull();
  });

  it.each([
    [-0.2, 'head'],
    [0.2, 'chest'],
    [0.6, 'waist'],
    [1, 'waist'],
    [1.15, 'hip'],
    [1.5, 'thigh'],
    [2, 'knee'],
    [2.5, 'shin'],
    [3, 'ankle'],
    [3.6, 'feet'],
  ] as const)('%d is the %s', (height, part) => {
    expect(partAt(height)).toBe(part);
  });
});

describe('the turn of the trunk', () => {
  /** The body turned about its own axis: distances across shrink with the cosine. */
  const turned = (deg: number) => body(([x, y]) => [0.5 + (x - 0.5) * Math.cos((deg * Math.PI) / 180), y]);

  it.each([0, 30, 60, 90, 120, 150, 180])('is %d degrees for a body turned so far', (deg) => {
    // Proportions of the made body are within 2 % of the network's, which near 0 is a few degrees.
    expect(Math.abs(trunkTurn(turned(deg), 1)! - deg)).toBeLessThan(deg % 180 === 0 ? 14 : 3);
  });

  it('does not depend on the shape of the frame', () => {
    const wide = turned(50).map((point) => ({ ...point, at: [point.at[0] / 2, point.at[1]] as const }));
    expect(trunkTurn(wide, 2)).toBeCloseTo(trunkTurn(turned(50), 1)!, 8);
  });

  it('is unknown where neither shoulder is seen', () => {
    expect(
      trunkTurn(
        body(undefined, () => 0.05),
        1,
      ),
    ).toBeNull();
  });

  it.each([
    [0, 'front'],
    [29, 'front'],
    [45, 'three-quarter'],
    [90, 'side'],
    [135, 'three-quarter'],
    [170, 'back'],
    [null, 'unknown'],
  ] as const)('of %s degrees is seen from the %s', (deg, view) => {
    expect(viewOf(deg)).toBe(view);
  });
});
