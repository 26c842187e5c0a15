/**
 * A drawn person before a drawn street: a picture that is nobody, the same on every machine, and close enough to a
 * photograph for the networks to see a person in it. Where each part lies is known from the drawing.
 */
import type { Box, Point } from '../../pipeline/contracts/box.ts';
import type { Rgb8 } from '../../pipeline/contracts/frame-image.ts';
import { seededRandom } from './random.ts';

type Colour = readonly [number, number, number];
export type Part = 'background' | 'skin' | 'hair' | 'cloth' | 'shoe' | 'eye';
const partCodes: readonly Part[] = ['background', 'skin', 'hair', 'cloth', 'shoe', 'eye'];

interface Shape {
  readonly part: Part;
  readonly colour: Colour;
  /** Signed distance in figure heights, negative inside; `across` -1..1 from left to right of the shape, for shading. */
  readonly at: (x: number, y: number) => { readonly distance: number; readonly across: number };
  /** Left, top, right and bottom in figure heights. */
  readonly bounds: readonly [number, number, number, number];
}

export interface FigureOptions {
  readonly width: number;
  readonly height: number;
  /** Height of the figure and place of its feet's middle, px. */
  readonly figurePx: number;
  readonly feet: Point;
  readonly seed?: number;
  readonly cloth?: Colour;
  readonly skin?: Colour;
  readonly hair?: Colour;
  /** Dark glasses instead of eyes. */
  readonly sunglasses?: boolean;
}

export interface FigurePicture {
  readonly image: Rgb8;
  /** Part of each px. */
  readonly parts: readonly Part[];
  /** The figure, shares of the picture. */
  readonly box: Box;
  /** Middle of each iris, shares of the picture: first the one on the left of the picture. */
  readonly eyes: readonly [Point, Point];
}

const ellipse = (part: Part, colour: Colour, cx: number, cy: number, rx: number, ry: number): Shape => ({
  part,
  colour,
  bounds: [cx - rx, cy - ry, cx + rx, cy + ry],
  at: (x, y) => ({
    distance: (Math.hypot((x - cx) / rx, (y - cy) / ry) - 1) * Math.min(rx, ry),
    across: (x - cx) / rx,
  }),
});

/** A limb: thick line from one point to another, its half width changing evenly. */
const limb = (
  part: Part,
  colour: Colour,
  from: Point,
  to: Point,
  fromHalf: number,
  toHalf: number,
): Shape => {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const lengthSquared = dx * dx + dy * dy;
  const half = Math.max(fromHalf, toHalf);
  return {
    part,
    colour,
    bounds: [
      Math.min(from[0], to[0]) - half,
      Math.min(from[1], to[1]) - half,
      Math.max(from[0], to[0]) + half,
      Math.max(from[1], to[1]) + half,
    ],
    at: (x, y) => {
      const along = Math.min(1, Math.max(0, ((x - from[0]) * dx + (y - from[1]) * dy) / lengthSquared));
      const half = fromHalf + (toHalf - fromHalf) * along;
      const offX = x - from[0] - dx * along;
      const offY = y - from[1] - dy * along;
      return { distance: Math.hypot(offX, offY) - half, across: offX / half };
    },
  };
};

/** Coordinates: x 0 in the middle, y 0 at the top of the head, 1 at the soles. */
function figure(options: FigureOptions): readonly Shape[] {
  const cloth = options.cloth ?? [150, 48, 62];
  const skin = options.skin ?? [222, 172, 144];
  const hair = options.hair ?? [70, 44, 30];
  const trousers: Colour = [cloth[0] * 0.35 + 20, cloth[1] * 0.35 + 24, cloth[2] * 0.35 + 48];
  const lip: Colour = [skin[0] * 0.85, skin[1] * 0.55, skin[2] * 0.55];
  const brow: Colour = [hair[0] + 10, hair[1] + 10, hair[2] + 10];
  const shapes: Shape[] = [
    ellipse('hair', hair, 0, 0.072, 0.056, 0.072),
    limb('skin', skin, [-0.028, 0.97], [-0.03, 0.945], 0.016, 0.018),
    limb('skin', skin, [0.028, 0.97], [0.03, 0.945], 0.016, 0.018),
    limb('shoe', [30, 28, 30], [-0.03, 0.965], [-0.05, 0.985], 0.018, 0.014),
    limb('shoe', [30, 28, 30], [0.03, 0.965], [0.05, 0.985], 0.018, 0.014),
    limb('cloth', trousers, [-0.052, 0.52], [-0.032, 0.935], 0.052, 0.026),
    limb('cloth', trousers, [0.052, 0.52], [0.032, 0.935], 0.052, 0.026),
    limb('skin', skin, [-0.145, 0.47], [-0.15, 0.51], 0.016, 0.014),
    limb('skin', skin, [0.145, 0.47], [0.15, 0.51], 0.016, 0.014),
    limb('cloth', cloth, [-0.1, 0.205], [-0.13, 0.34], 0.03, 0.026),
    limb('cloth', cloth, [0.1, 0.205], [0.13, 0.34], 0.03, 0.026),
    limb('cloth', cloth, [-0.13, 0.34], [-0.143, 0.455], 0.026, 0.02),
    limb('cloth', cloth, [0.13, 0.34], [0.143, 0.455], 0.026, 0.02),
    limb('cloth', cloth, [-0.055, 0.225], [-0.045, 0.49], 0.056, 0.052),
    limb('cloth', cloth, [0.055, 0.225], [0.045, 0.49], 0.056, 0.052),
    limb('cloth', cloth, [0, 0.22], [0, 0.49], 0.056, 0.056),
    limb('skin', skin, [0, 0.13], [0, 0.18], 0.026, 0.032),
    ellipse('skin', skin, 0, 0.08, 0.046, 0.06),
    ellipse('hair', hair, 0, 0.026, 0.047, 0.024),
    limb('hair', hair, [-0.05, 0.05], [-0.052, 0.12], 0.011, 0.009),
    limb('hair', hair, [0.05, 0.05], [0.052, 0.12], 0.011, 0.009),
    limb('skin', [skin[0] * 0.86, skin[1] * 0.8, skin[2] * 0.78], [0, 0.083], [0, 0.098], 0.0045, 0.008),
    limb('skin', lip, [-0.014, 0.117], [0.014, 0.117], 0.004, 0.004),
  ];
  for (const side of [-1, 1]) {
    const x = side * 0.019;
    shapes.push(limb('skin', brow, [x - 0.009, 0.064], [x + 0.009, 0.063], 0.0018, 0.0018));
    if (options.sunglasses === true) {
      shapes.push(ellipse('skin', [18, 18, 20], x, 0.077, 0.016, 0.012));
      continue;
    }
    shapes.push(
      ellipse('eye', [45, 32, 28], x, 0.0755, 0.0112, 0.0058),
      ellipse('eye', [236, 232, 228], x, 0.0765, 0.01, 0.0048),
      ellipse('eye', [86, 62, 44], x, 0.0765, 0.0049, 0.0049),
      ellipse('eye', [14, 12, 12], x, 0.0765, 0.0022, 0.0022),
      ellipse('eye', [250, 250, 250], x + 0.0015, 0.0752, 0.0009, 0.0009),
    );
  }
  return shapes;
}

/** Blurred bright and dark discs over a wall and a pavement: a background out of focus. */
function background(options: FigureOptions, random: () => number): (x: number, y: number) => Colour {
  const discs = Array.from({ length: 14 }, () => ({
    x: random() * options.width,
    y: random() * options.height * 0.6,
    radius: (0.03 + 0.09 * random()) * options.height,
    colour: [60 + 150 * random(), 70 + 130 * random(), 70 + 120 * random()] as Colour,
  }));
  const horizon = options.height * 0.62;
  return (x, y) => {
    const ground = Math.min(1, Math.max(0, (y - horizon) / (0.04 * options.height) + 0.5));
    const wall: Colour = [168 - 30 * (y / options.height), 172 - 26 * (y / options.height), 170];
    const pavement: Colour = [138, 132, 124];
    let colour: Colour = [
      wall[0] + (pavement[0] - wall[0]) * ground,
      wall[1] + (pavement[1] - wall[1]) * ground,
      wall[2] + (pavement[2] - wall[2]) * ground,
    ];
    for (const disc of discs) {
      const share =
        0.7 * (1 - ground) * Math.exp(-(((x - disc.x) ** 2 + (y - disc.y) ** 2) / disc.radius ** 2));
      colour = [
        colour[0] + (disc.colour[0] - colour[0]) * share,
        colour[1] + (disc.colour[1] - colour[1]) * share,
        colour[2] + (disc.colour[2] - colour[2]) * share,
      ];
    }
    return colour;
  };
}

/** The picture, with a little grain; equal options give equal bytes. */
export function drawFigure(options: FigureOptions): FigurePicture {
  const { width, height, figurePx, feet } = options;
  const random = seededRandom(options.seed ?? 1);
  const behind = background(options, random);
  const shapes = figure(options);
  const data = new Uint8Array(3 * width * height);
  const parts: Part[] = new Array(width * height).fill('background');
  const top = feet[1] - figurePx;
  // Edges are softened over one px.
  const spare = 1 / figurePx;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [fx, fy] = [(x + 0.5 - feet[0]) / figurePx, (y + 0.5 - top) / figurePx];
      let [red, green, blue] = behind(x, y);
      let part = 0;
      if (Math.abs(fx) < 0.25 && fy > -0.05 && fy < 1.05) {
        for (const shape of shapes) {
          const [left, above, right, below] = shape.bounds;
          if (fx < left - spare || fx > right + spare || fy < above - spare || fy > below + spare) continue;
          const { distance, across } = shape.at(fx, fy);
          const cover = Math.min(1, Math.max(0, 0.5 - distance * figurePx));
          if (cover === 0) continue;
          // Light from the upper left, folds in the cloth.
          const fold = shape.part === 'cloth' ? 0.05 * Math.sin(90 * fx + 40 * fy) * Math.sin(60 * fy) : 0;
          const light = 1 - 0.16 * across - 0.1 * across * across + fold;
          red += (shape.colour[0] * light - red) * cover;
          green += (shape.colour[1] * light - green) * cover;
          blue += (shape.colour[2] * light - blue) * cover;
          if (cover >= 0.5) part = partCodes.indexOf(shape.part);
        }
      }
      const grain = 5 * (random() - 0.5);
      const at = 3 * (y * width + x);
      data[at] = Math.min(255, Math.max(0, Math.round(red + grain)));
      data[at + 1] = Math.min(255, Math.max(0, Math.round(green + grain)));
      data[at + 2] = Math.min(255, Math.max(0, Math.round(blue + grain)));
      parts[y * width + x] = partCodes[part]!;
    }
  }
  const place = (x: number, y: number): Point => [
    (feet[0] + x * figurePx) / width,
    (top + y * figurePx) / height,
  ];
  const [left, upper] = place(-0.166, 0);
  const [right, lower] = place(0.166, 1);
  return {
    image: { width, height, data },
    parts,
    box: [left, upper, right - left, lower - upper],
    eyes: [place(-0.019, 0.0765), place(0.019, 0.0765)],
  };
}
