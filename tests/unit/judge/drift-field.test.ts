import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { densityAt, fieldOf, gridOf, type Vector } from '../../../pipeline/judge/drift/field.ts';

const ratio = fc.double({ min: -0.3, max: 0.3, noNaN: true });
const colour: fc.Arbitrary<Vector> = fc.tuple(ratio, ratio, fc.double({ min: -3, max: 0, noNaN: true }));
const marks = fc.array(fc.record({ at: colour, weight: fc.double({ min: 0.001, max: 1, noNaN: true }) }), {
  minLength: 1,
  maxLength: 12,
});
const fieldThrough = (some: readonly { readonly at: Vector; readonly weight: number }[]) =>
  fieldOf(
    gridOf(some.map(({ at }) => at)),
    Float64Array.from(some, ({ weight }) => weight),
  );

/** Standard deviations and steps between nodes as they stand in `field.ts`, and where the Gaussian is cut. */
const sigmas: Vector = [0.024, 0.024, 0.25];
const steps: Vector = [0.016, 0.016, 0.25];
const cut = 2.75;

function gaussians(some: readonly { readonly at: Vector; readonly weight: number }[], where: Vector): number {
  return some.reduce((sum, { at, weight }) => {
    const apart = at.map((value, axis) => (where[axis]! - value) / sigmas[axis]!);
    const near = apart.every((by) => Math.abs(by) <= cut);
    return near ? sum + weight * Math.exp(-0.5 * apart.reduce((square, by) => square + by * by, 0)) : sum;
  }, 0);
}

describe('the density of a frame’s colours', () => {
  it('is the sum of Gaussians about them at every node of its grid', () => {
    fc.assert(
      fc.property(marks, fc.nat(), fc.nat(), fc.nat(), (some, column, row, layer) => {
        const field = fieldThrough(some);
        // The first node of an axis lies on the very cut of the lowest colour, where rounding decides.
        const node = (pick: number, nodes: number): number => 1 + (pick % (nodes - 2));
        const where: Vector = [
          field.red + node(column, field.columns) * steps[0],
          field.blue + node(row, field.rows) * steps[1],
          field.green + node(layer, field.layers) * steps[2],
        ];
        expect(densityAt(field, ...where)).toBeCloseTo(gaussians(some, where), 5);
      }),
    );
  });

  it('is nothing beyond the reach of all colours, on any side', () => {
    fc.assert(
      fc.property(marks, fc.constantFrom(0, 1, 2), fc.constantFrom(-1, 1), (some, axis, side) => {
        const field = fieldThrough(some);
        const far: [number, number, number] = [0, 0, -1];
        far[axis] = side * 10;
        expect(densityAt(field, ...far)).toBe(0);
      }),
    );
  });

  it('grows with the weights alone', () => {
    fc.assert(
      fc.property(marks, (some) => {
        const { at } = some[0]!;
        const twice = some.map((mark) => ({ ...mark, weight: 2 * mark.weight }));
        expect(densityAt(fieldThrough(twice), ...at)).toBeCloseTo(
          2 * densityAt(fieldThrough(some), ...at),
          5,
        );
      }),
    );
  });
});
