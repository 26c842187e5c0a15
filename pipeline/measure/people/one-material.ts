import type { Rgb8 } from '../../contracts/frame-image.ts';
import type { BoxTuple } from '../../numeric/boxes.ts';
import { labOfRgb } from '../../numeric/colour/lab.ts';
import { linearOfSrgb } from '../../numeric/colour/srgb.ts';
import { resample } from '../../numeric/resample.ts';
import { median, percentile } from '../../numeric/statistics.ts';
import type { PersonMask } from '../networks/blazepose.ts';
import { coverOnPatch } from '../regions/person-cover.ts';

/** Cells of a person's box: large enough to even out a JPEG's coarse colour, small enough to keep a head and hands apart. */
const columns = 16;
const rows = 32;
/** Cells that lie wholly on the person; fewer than `leastCells` say nothing about her. */
const wholly = 0.8;
const leastCells = 40;
/** The mask is only worth reading where the network sees a person. */
const leastPresence = 0.5;

export interface ColourSpread {
  /** Distance in CIELAB a and b within which 97 in 100 cells of the person lie from their median. */
  readonly spread: number;
  /** Median CIELAB L, 0..100. */
  readonly lightness: number;
}

/**
 * How far the colours of one person spread, shading left out: skin, hair and cloth of a living person differ in hue or chroma,
 * the parts of a figure of stone, bronze or plaster hardly do.
 *
 * @param box the person, px of the picture
 * @param inFront masks of people who hide parts of her
 * @returns `null` where the mask shows too little of a person
 */
export function colourSpread(
  picture: Rgb8,
  box: BoxTuple,
  body: PersonMask,
  inFront: readonly PersonMask[] = [],
): ColourSpread | null {
  if (body.presence < leastPresence) return null;
  const patch = { region: { x: box[0], y: box[1], width: box[2], height: box[3] }, columns, rows };
  const rgb = resample(picture, patch.region, columns, rows);
  const cover = coverOnPatch(body, patch);
  for (const other of inFront) hide(cover, coverOnPatch(other, patch));
  const lightness: number[] = [];
  const a: number[] = [];
  const b: number[] = [];
  for (let cell = 0; cell < cover.length; cell++) {
    if (cover[cell]! < wholly) continue;
    const lab = labOfRgb([level(rgb, 3 * cell), level(rgb, 3 * cell + 1), level(rgb, 3 * cell + 2)]);
    lightness.push(lab[0]);
    a.push(lab[1]);
    b.push(lab[2]);
  }
  if (lightness.length < leastCells) return null;
  const [middleA, middleB] = [median(a), median(b)];
  const distances = new Float64Array(a.length);
  for (let i = 0; i < a.length; i++) distances[i] = Math.hypot(a[i]! - middleA, b[i]! - middleB);
  return { spread: percentile(distances, 0.97), lightness: median(lightness) };
}

const level = (rgb: Float32Array, index: number): number => linearOfSrgb(rgb[index]! / 255);

/** Takes away what somebody in front covers. */
function hide(cover: Float32Array, inFront: Float32Array): void {
  for (let cell = 0; cell < cover.length; cell++) if (inFront[cell]! > 1 - wholly) cover[cell] = 0;
}

/**
 * On the evaluation photographs with even numbers no person lighter than `dark` spreads less than 8.3 (100 people); of the same
 * people recoloured, at their own lightness, to stone or plaster 90 and 98 of 100 spread less than 5. Strongly coloured material
 * (bronze, terracotta) changes its chroma with the shading and is not told.
 */
const oneMaterial = 5;
/** In the dark colours run together for everybody. */
const dark = 20;
/** A model spreads 11 and more there. Below, the picture itself has hardly any colour, and nothing can be told. */
const leastInPicture = 9;

/** Whether a figure is of one material throughout, in a picture whose model is not. */
export const isOfOneMaterial = (figure: ColourSpread | null, model: ColourSpread | null): boolean =>
  figure !== null &&
  model !== null &&
  figure.lightness >= dark &&
  figure.spread < oneMaterial &&
  model.spread >= leastInPicture;
