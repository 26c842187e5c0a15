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
  const hidden = inFront.map((other) => coverOnPatch(other, patch));
  const cells = [...cover.keys()].filter(
    (cell) => cover[cell]! >= wholly && hidden.every((other) => other[cell]! <= 1 - wholly),
  );
  if (cells.length < leastCells) return null;
  const level = (index: number) => linearOfSrgb(rgb[index]! / 255);
  const labs = cells.map((cell) => labOfRgb([level(3 * cell), level(3 * cell + 1), level(3 * cell + 2)]));
  const [lightness, a, b] = [0, 1, 2].map((channel) => median(labs.map((lab) => lab[channel]!))) as [
    number,
    number,
    number,
  ];
  return {
    spread: percentile(
      labs.map((lab) => Math.hypot(lab[1] - a, lab[2] - b)),
      0.97,
    ),
    lightness,
  };
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
