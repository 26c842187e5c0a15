import { converter } from 'culori';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { adaptationMatrix, bradford } from '../../../pipeline/numeric/colour/adaptation.ts';
import { xyzOfXy } from '../../../pipeline/numeric/colour/chromaticity.ts';
import {
  labOfRgb,
  labOfXyz,
  lightnessOfLuminance,
  rgbOfLab,
  xyzOfLab,
} from '../../../pipeline/numeric/colour/lab.ts';
import { apply, invert, type Triple } from '../../../pipeline/numeric/colour/matrix3.ts';
import {
  byteOfLinear,
  d65Xyz,
  linearOfByte,
  linearOfSrgb,
  rgbOfXyz,
  rgbOfXyzMatrix,
  srgbOfLinear,
  xyzOfRgbMatrix,
} from '../../../pipeline/numeric/colour/srgb.ts';
import { colorChecker } from '../../validation/colour-tables.ts';

/** Every number of one list within `tolerance` of its partner in the other. */
function expectNear(measured: readonly number[], expected: readonly number[], tolerance: number) {
  expect(measured).toHaveLength(expected.length);
  const worst = Math.max(...measured.map((value, i) => Math.abs(value - expected[i]!)));
  expect(worst).toBeLessThanOrEqual(tolerance);
}

const linearOf = (r: number, g: number, b: number): Triple => [
  linearOfByte[r]!,
  linearOfByte[g]!,
  linearOfByte[b]!,
];

describe('sRGB against IEC 61966-2-1:1999', () => {
  it('has the matrix of the standard, given there to 4 decimals', () => {
    const published = [
      [0.4124, 0.3576, 0.1805],
      [0.2126, 0.7152, 0.0722],
      [0.0193, 0.1192, 0.9505],
    ];
    const inverse = [
      [3.2406, -1.5372, -0.4986],
      [-0.9689, 1.8758, 0.0415],
      [0.0557, -0.204, 1.057],
    ];
    expectNear(xyzOfRgbMatrix.flat(), published.flat(), 5e-5);
    /** The standard inverts its own rounded matrix, so its last digit is only good to a few units. */
    expectNear(rgbOfXyzMatrix.flat(), inverse.flat(), 6e-4);
  });

  /** Worked out from the standard's formula with Python's floating point; the value of 118 is also culori's. */
  it.each([
    [1, 0.000303526984],
    [10, 0.003035269836],
    [11, 0.003346535764],
    [118, 0.181164244],
    [128, 0.2158605],
    [188, 0.502886458],
    [200, 0.57758044],
    [240, 0.871367119],
    [250, 0.955973353],
    [253, 0.98225055],
    [254, 0.991102097],
    [255, 1],
  ])('decodes code %i to %f', (code, linear) => {
    expect(linearOfByte[code]).toBeCloseTo(linear, 8);
    expect(byteOfLinear(linear)).toBe(code);
  });

  it('encodes 0.18 as colour-science (Python) tests it', () => {
    expect(srgbOfLinear(0.18)).toBeCloseTo(0.4613561295, 9);
  });

  it('goes there and back, and rises', () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(share, share, (a, b) => {
        expect(srgbOfLinear(linearOfSrgb(a))).toBeCloseTo(a, 7);
        if (a < b) expect(linearOfSrgb(a)).toBeLessThanOrEqual(linearOfSrgb(b));
      }),
    );
  });
});

describe('CIELAB', () => {
  /** colour-science (Python) 0.4.6, colour/models/tests/test_cie_lab.py: XYZ, white xy, L a b. */
  it.each([
    [
      [0.20654008, 0.12197225, 0.05136952],
      [0.3127, 0.329],
      [41.52787529, 52.63858304, 26.92317922],
    ],
    [
      [0.1422201, 0.23042768, 0.10495772],
      [0.3127, 0.329],
      [55.11636304, -41.08791787, 30.91825778],
    ],
    [
      [0.0781878, 0.06157201, 0.28099326],
      [0.3127, 0.329],
      [29.8056552, 20.01830466, -48.34913874],
    ],
    [
      [0.20654008, 0.12197225, 0.05136952],
      [0.44757, 0.40745],
      [41.52787529, 38.48089305, -5.73295122],
    ],
    [
      [0.20654008, 0.12197225, 0.05136952],
      [0.3457, 0.3585],
      [41.52787529, 51.19354174, 19.91843098],
    ],
  ] as const)('of %j under %j', (xyz, white, lab) => {
    expectNear(labOfXyz(xyz, xyzOfXy(white)), lab, 1e-6);
  });

  /** CIE 15 formula, worked out independently with Python. */
  it.each([
    [0.01, 8.9914],
    [0.05, 26.7348],
    [0.09, 35.9843],
    [0.18, 49.4961],
    [0.1842, 50.0016],
    [0.5, 76.0693],
    [0.9, 95.9968],
    [0.95, 98.0335],
  ])('lightness of luminance %f is %f', (luminance, lightness) => {
    expect(lightnessOfLuminance(luminance)).toBeCloseTo(lightness, 4);
  });

  it('equals culori 4 lab65 (an independent library) on every 8-bit colour tried', () => {
    const lab65 = converter('lab65');
    const byte = fc.integer({ min: 0, max: 255 });
    fc.assert(
      fc.property(byte, byte, byte, (r, g, b) => {
        const independent = lab65({ mode: 'rgb', r: r / 255, g: g / 255, b: b / 255 });
        const [l, a, bb] = labOfRgb(linearOf(r, g, b));
        /** culori carries the white to one digit more than CIE 15 prints; that is worth 0.001. */
        expect(Math.abs(l - independent.l)).toBeLessThan(2e-3);
        expect(Math.abs(a - independent.a)).toBeLessThan(1e-2);
        expect(Math.abs(bb - independent.b)).toBeLessThan(1e-2);
      }),
    );
  });

  it('goes there and back', () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(share, share, share, (r, g, b) => {
        expectNear(rgbOfLab(labOfRgb([r, g, b])), [r, g, b], 1e-9);
        const xyz = apply(xyzOfRgbMatrix, [r, g, b]);
        expectNear(xyzOfLab(labOfXyz(xyz)), xyz, 1e-9);
      }),
    );
  });
});

describe('the 24-patch chart', () => {
  const d50 = xyzOfXy([0.3457, 0.3585]);

  it.each(colorChecker)('%s', (_, l, a, b, red, green, blue) => {
    const xyz = apply(adaptationMatrix(d50, d65Xyz), xyzOfLab([l, a, b], d50));
    expectNear(rgbOfXyz(xyz).map(byteOfLinear), [red, green, blue], 1);
  });
});

describe('Bradford adaptation', () => {
  /** Whites as XYZ of CIE 15 and ASTM E308, matrices worked out with numpy; A to D65 row by row. */
  const whites = {
    a: [1.0985, 1, 0.35585],
    d50: [0.964212, 1, 0.825188],
    d65: [0.95047, 1, 1.08883],
  } as const;
  const expected = [
    [
      'd65',
      'd50',
      [1.0478112, 0.0228866, -0.050127],
      [0.0295424, 0.9904844, -0.0170491],
      [-0.0092345, 0.0150436, 0.7521316],
    ],
    [
      'd50',
      'd65',
      [0.9555766, -0.0230393, 0.0631636],
      [-0.0282895, 1.0099416, 0.0210077],
      [0.0122982, -0.020483, 1.3299098],
    ],
    [
      'a',
      'd65',
      [0.8446965, -0.1179225, 0.3948108],
      [-0.1366303, 1.1041226, 0.1291718],
      [0.0798489, -0.1348999, 3.1924009],
    ],
  ] as const;

  it.each(expected)('%s to %s', (from, to, ...rows) => {
    expectNear(adaptationMatrix(whites[from], whites[to]).flat(), rows.flat(), 1e-4);
  });

  it('inverts to the matrix published with it', () => {
    const published = [
      [0.9869929, -0.1470543, 0.1599627],
      [0.4323053, 0.5183603, 0.0492912],
      [-0.0085287, 0.0400428, 0.9684867],
    ];
    expectNear(invert(bradford).flat(), published.flat(), 1e-6);
  });

  it('carries the white exactly', () => {
    expectNear(apply(adaptationMatrix(whites.a, whites.d65), whites.a), whites.d65, 1e-12);
  });
});
