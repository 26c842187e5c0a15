import type { Box } from '../contracts/box.ts';
import type { FrameImage, Mask } from '../contracts/frame-image.ts';
import type { RegionSharpness, Sharpness } from '../contracts/measurement/sharpness.ts';
import type { FaceRegion, Regions } from '../contracts/regions.ts';
import { focusMap } from './sharpness/focus-map.ts';
import { type Picture, pictureOfFrame, pictureOfLuma } from './sharpness/picture.ts';
import { type PxRect, type PxRegion, rectOfBox, regionOfMask, regionOfRect } from './sharpness/px-region.ts';
import { type RegionBlur, regionBlur } from './sharpness/region-blur.ts';
import { brisk, rough } from './sharpness/region-planes.ts';
import { structureBlur } from './sharpness/small-structure.ts';
import { movedAlong, subjectMotion } from './sharpness/subject-motion.ts';
import { weaveBlur } from './sharpness/weave.ts';

/**
 * Blur of the sharpest edges of a region.
 *
 * Edges are found and fitted (`fitEdge`) on the native px and, for wide blurs, on reduced planes; the spread below
 * which 15 % of them lie, freed of what noise adds to the scatter, is the region's. Edges of at least 12 levels count, isolated by 3.25
 * sigmas on both sides, well exposed where there are enough of those.
 *
 * The values are taken as they are encoded, not in linear light. What that does to an edge blurred in linear light and then encoded as
 * sRGB was measured: sigma reads within 3 % up to a contrast of 2:1 in linear light, 6 % low at 4:1, and differs more beyond; the bias
 * is the same for every frame of a shoot. A value taken in linear light would need the camera's tone curve, which a delivered file hides.
 *
 * @param luma encoded luma Y', one value a px, 0..255, row after row; `luma.length === width * height`.
 * @param region a rectangle in px, a mask that spans the picture, or both (the mask's px inside the rectangle); default the whole picture.
 * @returns lengths in native px, or why there are none.
 * @throws RangeError where `luma` does not have `width * height` values.
 */
export function estimateBlur(
  luma: ArrayLike<number>,
  width: number,
  height: number,
  region: { readonly rect?: PxRect; readonly mask?: Mask } = {},
): RegionBlur {
  if (luma.length !== width * height) {
    throw new RangeError(
      `expected ${width * height} luma values (${width} x ${height}), received ${luma.length}`,
    );
  }
  const picture = pictureOfLuma(luma, width, height);
  const rect = region.rect ?? { left: 0, top: 0, right: width, bottom: height };
  if (region.mask === undefined) return regionBlur(picture, regionOfRect(rect));
  const masked = regionOfMask(region.mask, picture);
  if (masked === null) return { reason: 'The region is empty.' };
  return regionBlur(picture, region.rect === undefined ? masked : masked.within(rect));
}

/** Blur inside each box, native px; `null` where it has too few clear edges. */
export function blurOfBoxes(image: FrameImage, boxes: readonly Box[]): readonly (number | null)[] {
  const picture = pictureOfFrame(image);
  return boxes.map((box) => {
    const blur = regionBlur(picture, regionOfRect(rectOfBox(box, picture)), rough);
    return 'reason' in blur ? null : blur.blurSigmaPx;
  });
}

/** Blur of the regions of one frame and the map of where focus lies. Deterministic; see `estimateBlur` for what is measured. */
export function measureSharpness(image: FrameImage, regions: Regions): Sharpness {
  const picture = pictureOfFrame(image);
  const reason: Record<string, string> = {};
  const keep = (name: string, blur: RegionBlur): RegionSharpness | null => {
    if (!('reason' in blur)) return blur;
    reason[name] = blur.reason;
    return null;
  };
  const subject = regions.subject && regionOfMask(regions.subject, picture);
  const motion = subject && subjectMotion(picture, subject);
  return {
    eyes: keep('eyes', movedAlong(eyesBlur(picture, regions), motion)),
    face: keep('face', movedAlong(facesBlur(picture, regions), motion)),
    garment: keep('garment', movedAlong(garmentBlur(picture, regions), motion)),
    background: keep('background', backgroundBlur(picture, regions)),
    focusMap: focusMap(picture),
    reason,
  };
}

/** The px of a mask, or why there are none. */
function regionIn(
  picture: Picture,
  mask: Mask | null,
  why: string | undefined,
  what: string,
): PxRegion | { readonly reason: string } {
  const region = mask && regionOfMask(mask, picture);
  return region ?? { reason: why ?? `There is no area of ${what} in the frame.` };
}

function backgroundBlur(picture: Picture, { background, reason }: Regions): RegionBlur {
  const region = regionIn(picture, background, reason.background, 'the background');
  return 'reason' in region ? region : regionBlur(picture, region, rough);
}

/**
 * Sigma, px, from which on the fine planes hold no sharp edge of the cloth: what is left may be folds and shadows, and the weave is
 * asked.
 */
const softFolds = 2.5;
/**
 * A weave has the last word where it reads less than this share of the folds. In focus, close details whose only edges are folds or the
 * soft borders of knitted stripes read 0.22 and 0.34 (demo); cloth out of focus by 3 to 5 px, with noise of 2 levels and JPEG 88 on top,
 * reads 0.53 and more (five close details of the demo, 12 street photographs with even numbers).
 */
const clearlySharper = 0.42;

function garmentBlur(picture: Picture, { garment, reason }: Regions): RegionBlur {
  const region = regionIn(picture, garment, reason.garment, 'the garment');
  if ('reason' in region) return region;
  const edges = regionBlur(picture, region);
  if (!('reason' in edges) && (edges.blurSigmaPx < softFolds || edges.kind === 'motion')) return edges;
  const weave = weaveBlur(picture, region);
  if ('reason' in weave) return edges;
  return 'reason' in edges || weave.blurSigmaPx < clearlySharper * edges.blurSigmaPx ? weave : edges;
}

/** Faces at least half as tall as the tallest: the subjects', not a stray detection. */
const comparableHeight = 0.5;

function mainFaces(regions: Regions): readonly FaceRegion[] {
  const tallest = regions.faces.reduce((most, face) => Math.max(most, face.box[3]), 0);
  return regions.faces.filter((face) => face.box[3] >= comparableHeight * tallest);
}

/** Of several subjects the softest: each of them has to be sharp. */
function softest(blurs: readonly RegionBlur[], otherwise: string): RegionBlur {
  let worst: RegionSharpness | null = null;
  let why = otherwise;
  for (const blur of blurs) {
    if ('reason' in blur) why = blur.reason;
    else if (worst === null || blur.blurSigmaPx > worst.blurSigmaPx) worst = blur;
  }
  return worst ?? { reason: why };
}

function facesBlur(picture: Picture, regions: Regions): RegionBlur {
  const blurs = mainFaces(regions).map((face) =>
    regionBlur(picture, regionOfRect(rectOfBox(face.box, picture)), brisk),
  );
  return softest(blurs, regions.reason.faces ?? 'No face was found.');
}

/**
 * Eyes at least this wide, px, have lids and an iris rim that are long enough for edges to be fitted; in smaller ones what there is of
 * edges is too close together, and the blur of their structure is taken. Decided by size alone, so that one pair of eyes is always
 * measured in one way however soft it is.
 */
const leastWidthForEdges = 40;
/** Lids and corners just outside the box, shares of the eye's size on every side: with less, the few px of a small eye scatter. */
const roundSmallEye = 0.25;

/** Each subject's eyes: of large ones the sharper, since focus is set on the near one; small ones together. */
function eyesBlur(picture: Picture, regions: Regions): RegionBlur {
  const blurs = mainFaces(regions).map((face): RegionBlur => {
    if (face.eyes.length === 0) return { reason: face.eyesReason ?? 'No open eye was found.' };
    const rects = face.eyes.map((eye) => rectOfBox(eye.box, picture));
    const large = rects.filter(({ left, right }) => right - left >= leastWidthForEdges);
    const measured = large
      .map((rect) => regionBlur(picture, regionOfRect(rect)))
      .filter((blur): blur is RegionSharpness => !('reason' in blur));
    if (measured.length > 0) return measured.reduce((a, b) => (b.blurSigmaPx < a.blurSigmaPx ? b : a));
    return structureBlur(
      picture,
      rects.map((rect) => grown(rect, picture)),
    );
  });
  return softest(blurs, regions.reason.faces ?? 'No face was found.');
}

function grown({ left, top, right, bottom }: PxRect, { width, height }: Picture): PxRect {
  const [x, y] = [roundSmallEye * (right - left), roundSmallEye * (bottom - top)].map(Math.round) as [
    number,
    number,
  ];
  return {
    left: Math.max(0, left - x),
    top: Math.max(0, top - y),
    right: Math.min(width, right + x),
    bottom: Math.min(height, bottom + y),
  };
}
