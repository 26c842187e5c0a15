/** Colour as three logarithms: red / green, blue / green, green. A change of light or of exposure moves all colours by one vector. */
export type Vector = readonly [number, number, number];

export interface Mark {
  readonly at: Vector;
  readonly weight: number;
}

/** A smooth density over colour on a grid of nodes, for looking up how much of a colour a frame holds. */
export interface Field {
  readonly size: Vector;
  readonly origin: Vector;
  readonly density: Float32Array;
}

/** Standard deviations of the smoothing: about the steps in which swatches were collected. */
const smoothing: Vector = [0.024, 0.024, 0.25];
const step: Vector = [0.016, 0.016, 0.25];
/** Standard deviations after which the Gaussian is cut off. */
const reach = 2.75;

/** Sum of Gaussians, each as high as its mark's weight. */
export function fieldOf(marks: readonly Mark[]): Field {
  const axes = [0, 1, 2].map((axis) => {
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (const { at } of marks) {
      low = Math.min(low, at[axis]!);
      high = Math.max(high, at[axis]!);
    }
    const margin = reach * smoothing[axis]!;
    return { origin: low - margin, size: Math.ceil((high - low + 2 * margin) / step[axis]!) + 2 };
  });
  const size: Vector = [axes[0]!.size, axes[1]!.size, axes[2]!.size];
  const origin: Vector = [axes[0]!.origin, axes[1]!.origin, axes[2]!.origin];
  const density = new Float32Array(size[0] * size[1] * size[2]);
  for (const { at, weight } of marks) {
    const [reds, blues, greens] = [0, 1, 2].map((axis) => bell(at[axis]! - origin[axis]!, axis)) as [
      Bell,
      Bell,
      Bell,
    ];
    for (let k = 0; k < greens.heights.length; k += 1) {
      for (let j = 0; j < blues.heights.length; j += 1) {
        const row = ((greens.first + k) * size[1] + blues.first + j) * size[0] + reds.first;
        const height = weight * greens.heights[k]! * blues.heights[j]!;
        for (let i = 0; i < reds.heights.length; i += 1) density[row + i]! += height * reds.heights[i]!;
      }
    }
  }
  return { size, origin, density };
}

interface Bell {
  readonly first: number;
  readonly heights: readonly number[];
}

/** Heights of a Gaussian about `at` (from the origin) on the nodes of one axis. */
function bell(at: number, axis: number): Bell {
  const [sigma, spacing] = [smoothing[axis]!, step[axis]!];
  const first = Math.ceil((at - reach * sigma) / spacing);
  const last = Math.floor((at + reach * sigma) / spacing);
  const heights: number[] = [];
  for (let node = first; node <= last; node += 1)
    heights.push(Math.exp(-0.5 * ((node * spacing - at) / sigma) ** 2));
  return { first, heights };
}

/** Straight-line between the nodes; 0 outside. Asked for thousands of times a pair of frames, hence nothing is unpacked. */
export function densityAt(field: Field, red: number, blue: number, green: number): number {
  const { size, origin, density } = field;
  const columns = size[0];
  const rows = size[1];
  const u = (red - origin[0]) / step[0];
  const v = (blue - origin[1]) / step[1];
  const w = (green - origin[2]) / step[2];
  const i = Math.floor(u);
  const j = Math.floor(v);
  const k = Math.floor(w);
  if (i < 0 || j < 0 || k < 0 || i >= columns - 1 || j >= rows - 1 || k >= size[2] - 1) return 0;
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
