/** Colour as three logarithms: red / green, blue / green, green. A change of light or of exposure moves all colours by one vector. */
export type Vector = readonly [number, number, number];

/** A smooth density over colour on a grid of nodes, for looking up how much of a colour a frame holds. Flat, as it is asked thousands of times a pair. */
export interface Field {
  readonly columns: number;
  readonly rows: number;
  readonly layers: number;
  readonly red: number;
  readonly blue: number;
  readonly green: number;
  /** By layer, row and column. */
  readonly density: Float32Array;
}

/** Standard deviations of the smoothing: about the steps in which swatches were collected. */
const smoothing: Vector = [0.024, 0.024, 0.25];
const redStep = 0.016;
const blueStep = 0.016;
const greenStep = 0.25;
const step: Vector = [redStep, blueStep, greenStep];
/** Standard deviations after which the Gaussian is cut off. */
const reach = 2.75;

/** One axis of a grid on which colours are laid, with a Gaussian about each. */
interface Axis {
  readonly origin: number;
  readonly size: number;
  /** The first node of each Gaussian and the one after its last. */
  readonly first: Int32Array;
  readonly end: Int32Array;
  /** Heights at its nodes, `mostNodes` a Gaussian. */
  readonly heights: Float64Array;
}

/** Colours laid on a grid; fields of different weights are made on it. */
export type Grid = readonly [reds: Axis, blues: Axis, greens: Axis];

export const gridOf = (colours: readonly Vector[]): Grid => [
  axisOf(colours, 0),
  axisOf(colours, 1),
  axisOf(colours, 2),
];

const mostNodes = Math.max(
  ...smoothing.map((sigma, axis) => Math.floor((2 * reach * sigma) / step[axis]!) + 1),
);

function axisOf(colours: readonly Vector[], axis: 0 | 1 | 2): Axis {
  const [sigma, spacing] = [smoothing[axis], step[axis]];
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const at of colours) {
    low = Math.min(low, at[axis]);
    high = Math.max(high, at[axis]);
  }
  const margin = reach * sigma;
  const origin = low - margin;
  const first = new Int32Array(colours.length);
  const end = new Int32Array(colours.length);
  const heights = new Float64Array(colours.length * mostNodes);
  for (let mark = 0; mark < colours.length; mark += 1) {
    const at = colours[mark]![axis] - origin;
    first[mark] = Math.ceil((at - reach * sigma) / spacing);
    end[mark] = Math.floor((at + reach * sigma) / spacing) + 1;
    for (let node = first[mark]!; node < end[mark]!; node += 1)
      heights[mark * mostNodes + node - first[mark]!] = Math.exp(-0.5 * ((node * spacing - at) / sigma) ** 2);
  }
  return { origin, size: Math.ceil((high - low + 2 * margin) / spacing) + 2, first, end, heights };
}

/**
 * Sum of Gaussians.
 * @param weights of the grid's colours, in their order: each Gaussian's height.
 */
export function fieldOf([reds, blues, greens]: Grid, weights: Float64Array): Field {
  const density = new Float32Array(reds.size * blues.size * greens.size);
  for (let mark = 0; mark < weights.length; mark += 1) {
    const at = mark * mostNodes;
    const [red, blue, green] = [reds.first[mark]!, blues.first[mark]!, greens.first[mark]!];
    const width = reds.end[mark]! - red;
    for (let k = green; k < greens.end[mark]!; k += 1) {
      const ofLayer = weights[mark]! * greens.heights[at + k - green]!;
      for (let j = blue; j < blues.end[mark]!; j += 1) {
        const height = ofLayer * blues.heights[at + j - blue]!;
        const row = (k * blues.size + j) * reds.size + red;
        for (let i = 0; i < width; i += 1) density[row + i]! += height * reds.heights[at + i]!;
      }
    }
  }
  return {
    columns: reds.size,
    rows: blues.size,
    layers: greens.size,
    red: reds.origin,
    blue: blues.origin,
    green: greens.origin,
    density,
  };
}

/** Straight-line between the nodes; 0 outside. */
export function densityAt(field: Field, red: number, blue: number, green: number): number {
  const { columns, rows, density } = field;
  const u = (red - field.red) / redStep;
  const v = (blue - field.blue) / blueStep;
  const w = (green - field.green) / greenStep;
  if (u < 0 || v < 0 || w < 0 || u >= columns - 1 || v >= rows - 1 || w >= field.layers - 1) return 0;
  // Whole numbers below, as none is negative.
  const i = u | 0;
  const j = v | 0;
  const k = w | 0;
  const a = u - i;
  const b = v - j;
  const c = w - k;
  const near = (k * rows + j) * columns + i;
  const far = near + columns * rows;
  return (1 - c) * onLayer(density, near, columns, a, b) + c * onLayer(density, far, columns, a, b);
}

function onLayer(density: Float32Array, at: number, columns: number, a: number, b: number): number {
  const above = (1 - a) * density[at]! + a * density[at + 1]!;
  const below = (1 - a) * density[at + columns]! + a * density[at + columns + 1]!;
  return (1 - b) * above + b * below;
}
