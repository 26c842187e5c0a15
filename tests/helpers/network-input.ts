/** Inputs for comparing the networks with their originals: drawn pictures, the same on every machine. */
import type { Network, NetworkName } from '../../pipeline/contracts/network-manifest.ts';
import { type PxRectangle, type RgbPicture, resample } from '../../pipeline/numeric/resample.ts';
import { drawFigure } from './figure-picture.ts';
import { seededRandom } from './random.ts';

/** What each network looks at in the drawn picture of 480 x 720 px: the whole, the head, or an eye. */
const regions: Readonly<Record<NetworkName, PxRectangle>> = {
  nanodet: { x: -120, y: 0, width: 720, height: 720 },
  'movenet-multipose': { x: 0, y: 0, width: 480, height: 720 },
  'movenet-thunder': { x: -60, y: 60, width: 640, height: 640 },
  'blazepose-full': { x: -60, y: 60, width: 640, height: 640 },
  'facemesh-detection-full': { x: 140, y: 40, width: 200, height: 200 },
  facemesh: { x: 192, y: 78, width: 96, height: 96 },
  iris: { x: 216, y: 116, width: 26, height: 26 },
};

export const pictureNames = ['figure', 'other-figure', 'figure-on-waves'] as const;
export type PictureName = (typeof pictureNames)[number];

/**
 * The figure before coloured waves with grain: random, but structured. Without a person a mask network is so ill-conditioned
 * on such a field that TensorFlow.js differs from itself (5e-3 of the range between its wasm and CPU backends, blazepose-full).
 */
function figureOnWaves(): RgbPicture {
  const random = seededRandom(5);
  const { image, parts } = drawFigure({ width: 480, height: 720, figurePx: 600, feet: [240, 680], seed: 3 });
  const data = Uint8Array.from(image.data);
  for (let index = 0; index < parts.length; index++) {
    if (parts[index] !== 'background') continue;
    const [x, y] = [index % image.width, Math.floor(index / image.width)];
    for (let channel = 0; channel < 3; channel++) {
      const wave =
        60 * Math.sin(x / 17 + channel) + 50 * Math.cos(y / 23 + channel * 2) + 30 * (random() - 0.5);
      data[3 * index + channel] = Math.round(128 + wave);
    }
  }
  return { width: image.width, height: image.height, data };
}

const draw: Readonly<Record<PictureName, () => RgbPicture>> = {
  figure: () => drawFigure({ width: 480, height: 720, figurePx: 600, feet: [240, 680] }).image,
  'other-figure': () =>
    drawFigure({
      width: 480,
      height: 720,
      figurePx: 560,
      feet: [250, 655],
      seed: 9,
      cloth: [40, 110, 90],
      skin: [120, 80, 60],
      hair: [20, 18, 18],
    }).image,
  'figure-on-waves': figureOnWaves,
};

const drawn = new Map<PictureName, RgbPicture>();

function pictureNamed(name: PictureName): RgbPicture {
  const picture = drawn.get(name) ?? draw[name]();
  drawn.set(name, picture);
  return picture;
}

export interface NetworkInput {
  readonly shape: readonly number[];
  readonly values: Float32Array | Int32Array;
}

/** Levels 0..255 to the values a network wants, as its entry in the manifest says in words. */
const normalise: Readonly<Record<NetworkName, (level: number, channel: number) => number>> = {
  nanodet: (level, channel) =>
    (level - [103.53, 116.28, 123.675][channel]!) / [57.375, 57.12, 58.395][channel]!,
  'movenet-multipose': Math.round,
  'movenet-thunder': Math.round,
  'blazepose-full': (level) => level / 255,
  'facemesh-detection-full': (level) => level / 127.5 - 1,
  facemesh: (level) => level / 255,
  iris: (level) => level / 255,
};

/** The picture as the network's input; open sizes are taken as 256 x 192. */
export function networkInput(name: NetworkName, network: Network, picture: PictureName): NetworkInput {
  const open: Readonly<Record<string, number>> = { axis1: 256, axis2: 192 };
  const shape = network.input.shape.map((size) => (typeof size === 'number' ? size : open[size]!));
  const channelsFirst = network.input.layout === 'NCHW';
  const [rows, columns] = (channelsFirst ? [shape[2], shape[3]] : [shape[1], shape[2]]) as [number, number];
  const rgb = resample(pictureNamed(picture), regions[name], columns, rows);
  const values = network.input.type === 'int32' ? new Int32Array(rgb.length) : new Float32Array(rgb.length);
  const plane = rows * columns;
  for (let index = 0; index < plane; index++) {
    for (let channel = 0; channel < 3; channel++) {
      const source = network.input.colourOrder === 'BGR' ? 2 - channel : channel;
      const at = channelsFirst ? channel * plane + index : 3 * index + channel;
      values[at] = normalise[name](rgb[3 * index + source]!, channel);
    }
  }
  return { shape, values };
}
