import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Colour, Tint } from '../../../pipeline/contracts/measurement/colour.ts';
import { measureDrift, type SetFrame } from '../../../pipeline/judge/drift.ts';
import { uvOfXyz, xyzOfUv } from '../../../pipeline/numeric/colour/chromaticity.ts';
import { uvOfWhiteness, whitenessOfUv } from '../../../pipeline/numeric/colour/correlated-temperature.ts';
import { d65Xyz, rgbOfXyz } from '../../../pipeline/numeric/colour/srgb.ts';
import { aMeasurement } from '../../helpers/measurement.ts';

const d65 = whitenessOfUv(uvOfXyz(d65Xyz))!;

/** Tint of a surface under a light that many mired and Duv from D65, by von Kries in linear sRGB. */
function under(surface: Tint, mired: number, duv = 0): Tint {
  const [red, green, blue] = rgbOfXyz(xyzOfUv(uvOfWhiteness(1e6 / (d65.mired + mired), d65.duv + duv)));
  return {
    ...surface,
    redGreen: surface.redGreen + Math.log(red / green),
    blueGreen: surface.blueGreen + Math.log(blue / green),
  };
}

const cloth: Tint = { redGreen: 0.4, blueGreen: -0.3, spread: 0.02, areas: 4000 };
const skin: Tint = { redGreen: 0.7, blueGreen: -0.5, spread: 0.1, areas: 900 };

function frame(id: string, mired: number, over: Partial<Colour> = {}, flashFired = false): SetFrame {
  return {
    id,
    measurement: aMeasurement({
      capture: { flashFired },
      colour: {
        cctK: 6000,
        duv: 0,
        garmentLab: null,
        garmentTint: under(cloth, mired),
        skinTint: under(skin, mired),
        ...over,
      },
    }),
  };
}

describe('drift of a set', () => {
  it('recovers a known change of light in one frame of five', () => {
    fc.assert(
      fc.property(fc.double({ min: -60, max: 60, noNaN: true }), (mired) => {
        const set = [0, 0, mired, 0, 0].map((change, index) => frame(`f${index}`, change));
        const found = measureDrift(set).frames[2]!;
        expect(Math.abs(found.mired - mired)).toBeLessThan(Math.max(0.5, 0.02 * Math.abs(mired)));
      }),
    );
  });

  it('recovers a change of tint', () => {
    const green = frame('green', 0, { garmentTint: under(cloth, 0, 0.01), skinTint: under(skin, 0, 0.01) });
    const found = measureDrift([frame('a', 0), frame('b', 0), frame('c', 0), green]).frames[3]!;
    expect(found.duv).toBeCloseTo(0.01, 3);
  });

  it('doubts a frame more where the cloth is patterned and no skin shows', () => {
    const plain = frame('plain', 0, { skinTint: null });
    const patterned = frame('patterned', 0, { skinTint: null, garmentTint: { ...cloth, spread: 0.5 } });
    const [a, b] = measureDrift([plain, patterned, frame('c', 0), frame('d', 0)]).frames;
    expect(b!.sigmaMired).toBeGreaterThan(3 * a!.sigmaMired);
  });

  it('compares flash frames with flash frames', () => {
    const set = [0, 0, 0]
      .map((_, i) => frame(`day${i}`, 0))
      .concat([40, 40, 40].map((m, i) => frame(`flash${i}`, m, {}, true)));
    for (const { mired } of measureDrift(set).frames) expect(mired).toBeCloseTo(0, 6);
  });

  it('says nothing of two frames, or of frames without cloth and skin', () => {
    expect(measureDrift([frame('a', 0), frame('b', 30)]).reference).toBeNull();
    const bare = ['a', 'b', 'c'].map((id) => frame(id, 0, { garmentTint: null, skinTint: null }));
    expect(measureDrift(bare).frames).toEqual([]);
  });
});
