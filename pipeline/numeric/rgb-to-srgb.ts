/**
 * Whole pictures from any RGB or grey encoding with a matrix and curves to 8-bit sRGB: curve, matrix to XYZ (D50),
 * matrix to linear sRGB, clipped to the gamut, encoded. Media-relative, as both whites are the connection space's.
 */
import { invert, type Matrix3, multiply, type Triple } from './colour/matrix3.ts';
import { srgbOfLinear } from './colour/srgb.ts';
import type { ToneCurve } from './icc.ts';
import { connectionMatrix } from './rgb-spaces.ts';

/** Interleaved RGB at 8 bit (ceiling 255) or 16 bit (ceiling 65535). */
export interface Encoded {
  readonly data: Uint8Array | Uint16Array;
  readonly ceiling: 255 | 65535;
}

/** Linear light is looked up in steps of 1/32768: at the steepest part of the sRGB curve a tenth of an 8-bit code. */
const linearSteps = 32768;

/** The identity matrix is for grey: three equal channels stay equal. */
const identity: Matrix3 = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/**
 * @param colorants XYZ (D50) of red, green, blue; `null` for grey, where all three channels hold the same value.
 * @param curves three, or one for all channels.
 * @returns interleaved 8-bit sRGB of the same size.
 */
export function rgbToSrgb(
  { data, ceiling }: Encoded,
  colorants: readonly [Triple, Triple, Triple] | null,
  curves: readonly ToneCurve[],
): Uint8Array {
  const matrix = colorants === null ? identity : matrixToSrgb(colorants);
  const [first, second, third] = curves;
  const red = linearTable(first!, ceiling);
  const green = second === undefined ? red : linearTable(second, ceiling);
  const blue = third === undefined ? red : linearTable(third, ceiling);
  return convert(data, [red, green, blue], matrix);
}

function matrixToSrgb([red, green, blue]: readonly [Triple, Triple, Triple]): Matrix3 {
  const toXyz: Matrix3 = [
    [red[0], green[0], blue[0]],
    [red[1], green[1], blue[1]],
    [red[2], green[2], blue[2]],
  ];
  return multiply(invert(connectionMatrix('srgb')), toXyz);
}

function linearTable(curve: ToneCurve, ceiling: 255 | 65535): Float64Array {
  return Float64Array.from({ length: ceiling + 1 }, (_, code) =>
    Math.min(Math.max(curve(code / ceiling), 0), 1),
  );
}

/** `reach`: how far linear values go beyond 0..1 on either side; the table holds them too, so that no px needs a comparison. */
function encodingTable(reach: number): Uint8Array {
  const table = new Uint8Array(Math.ceil((1 + 2 * reach) * linearSteps) + 3);
  const zero = Math.ceil(reach * linearSteps);
  for (let i = 0; i < table.length; i++) {
    const linear = Math.min(Math.max((i - zero) / linearSteps, 0), 1);
    table[i] = Math.round(255 * srgbOfLinear(linear));
  }
  return table;
}

function convert(
  data: Uint8Array | Uint16Array,
  [red, green, blue]: readonly [Float64Array, Float64Array, Float64Array],
  matrix: Matrix3,
): Uint8Array {
  const sums = matrix.map((row) => row.map((value) => Math.max(value, 0)).reduce((a, b) => a + b));
  const drops = matrix.map((row) => row.map((value) => Math.max(-value, 0)).reduce((a, b) => a + b));
  const reach = Math.max(0, ...drops, ...sums.map((sum) => sum - 1));
  const encode = encodingTable(reach);
  const zero = Math.ceil(reach * linearSteps) + 0.5;
  const [rr, rg, rb, gr, gg, gb, br, bg, bb] = matrix.flat().map((value) => value * linearSteps) as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const result = new Uint8Array(data.length);
  for (let p = 0; p < data.length; p += 3) {
    const r = red[data[p]!]!;
    const g = green[data[p + 1]!]!;
    const b = blue[data[p + 2]!]!;
    result[p] = encode[(rr * r + rg * g + rb * b + zero) | 0]!;
    result[p + 1] = encode[(gr * r + gg * g + gb * b + zero) | 0]!;
    result[p + 2] = encode[(br * r + bg * g + bb * b + zero) | 0]!;
  }
  return result;
}
