import type { Box } from '../../contracts/box.ts';
import type { Mask, Rgb8 } from '../../contracts/frame-image.ts';
import type { People } from '../../contracts/measurement/people.ts';
import { type LogRatios, logRatiosOf, whitenessOfCast } from '../../numeric/colour/cast.ts';
import type { Triple } from '../../numeric/colour/matrix3.ts';
import { byteOfLinear, linearOfByte } from '../../numeric/colour/srgb.ts';
import type { Window } from '../../numeric/gradient.ts';
import type { PointTuple } from '../../numeric/polygon.ts';
import { madSigma } from '../../numeric/statistics.ts';
import { cornersOf } from './card-outline.ts';
import { type FlatPatch, flatPatches } from './flat-patches.ts';

export interface NeutralCard {
  readonly box: Box;
  /** Mean colour of each of its rows, in linear RGB. */
  readonly rows: readonly Triple[];
}

/** A card of 10 to 25 cm beside somebody 45 cm wide; with arms spread the box is wider, with a card held askew its root area smaller. */
const leastShareOfSubject = 0.12;
const mostShareOfSubject = 0.6;
/** Smaller ones, on the picture of the analysis, have too few px between their edges to be told from a button or a label. */
const leastSidePx = 20;
/** A light that a picture may be left under: mired from warm evening to deep shade, and Duv from that of daylight, about 0.003. */
const warmestMired = 230;
const coldestMired = 80;
const daylightDuv = 0.003;
const mostOffDaylight = 0.016;
/** Spread of the rows in log ratio, noise included: cloth in folds takes up coloured light from beside it. */
const mostRatioSpread = 0.03;
/** The border is looked for this far outside the flat part, which ends 3 px inside the card. */
const outsidePx = 7;
/** A clear border: steps by so many codes along so much of every side. A hand may hide some of it. */
const leastStep = 16;
const leastBordered = 0.75;
/** Share of the border with the subject behind it. */
const leastOnSubject = 0.5;

/** A grey or white card on or before a subject; `null` without one. Strict: a missed card costs less than a white pocket taken for one. */
export function findNeutralCard(picture: Rgb8, subject: Mask | null, people: People): NeutralCard | null {
  if (subject === null) return null;
  for (const { box } of people.subjects) {
    const window = windowOf(picture, box);
    const subjectWidth = box[2] * picture.width;
    const least = Math.max(leastSidePx, leastShareOfSubject * subjectWidth);
    for (const patch of flatPatches(picture, window, least ** 2)) {
      if (Math.sqrt(patch.areaPx) > mostShareOfSubject * subjectWidth) continue;
      const corners = cornersOf(patch);
      if (corners === null) continue;
      const rows = rowsOf(picture, patch);
      if (isNeutral(rows) && isBordered(picture, subject, corners, rows)) {
        return { box: boxOf(picture, corners), rows };
      }
    }
  }
  return null;
}

function windowOf({ width, height }: Rgb8, [x, y, w, h]: Box): Window {
  return {
    left: Math.max(0, Math.floor(x * width)),
    top: Math.max(0, Math.floor(y * height)),
    right: Math.min(width, Math.ceil((x + w) * width)),
    bottom: Math.min(height, Math.ceil((y + h) * height)),
  };
}

function meanOfRun({ width, data }: Rgb8, { row, start, end }: FlatPatch['runs'][number]): Triple {
  let red = 0;
  let green = 0;
  let blue = 0;
  for (let i = 3 * (row * width + start); i < 3 * (row * width + end); i += 3) {
    red += linearOfByte[data[i]!]!;
    green += linearOfByte[data[i + 1]!]!;
    blue += linearOfByte[data[i + 2]!]!;
  }
  return [red / (end - start), green / (end - start), blue / (end - start)];
}

function rowsOf(picture: Rgb8, { runs }: FlatPatch): readonly Triple[] {
  return runs.map((run) => meanOfRun(picture, run));
}

/** The tint of the rows together. */
export function castOfRows(rows: readonly Triple[]): LogRatios {
  const sums: [number, number, number] = [0, 0, 0];
  for (const row of rows) for (let channel = 0; channel < 3; channel++) sums[channel]! += row[channel]!;
  return logRatiosOf([sums[0] / rows.length, sums[1] / rows.length, sums[2] / rows.length]);
}

const redGreenOf = ({ redGreen }: LogRatios): number => redGreen;
const blueGreenOf = ({ blueGreen }: LogRatios): number => blueGreen;

function isNeutral(rows: readonly Triple[]): boolean {
  const light = whitenessOfCast(castOfRows(rows));
  if (light === null || light.mired > warmestMired || light.mired < coldestMired) return false;
  if (Math.abs(light.duv - daylightDuv) > mostOffDaylight) return false;
  const ratios = rows.map(logRatiosOf);
  return [redGreenOf, blueGreenOf].every((part) => madSigma(ratios.map(part)) <= mostRatioSpread);
}

/** Whether the picture changes across every side, and the subject is seen around the card. */
function isBordered(
  { width, height, data }: Rgb8,
  subject: Mask,
  corners: readonly PointTuple[],
  rows: readonly Triple[],
): boolean {
  const own = rows[rows.length >> 1]!.map(byteOfLinear);
  let onSubject = 0;
  let looked = 0;
  const bordered = corners.every(([x, y], i) => {
    const [nextX, nextY] = corners[(i + 1) % corners.length]!;
    const length = Math.hypot(nextX - x, nextY - y);
    // Corners run clockwise on the picture, so this points outwards.
    const [outX, outY] = [((nextY - y) / length) * outsidePx, (-(nextX - x) / length) * outsidePx];
    const along = Array.from({ length: 16 }, (_, step) => 0.05 + (0.9 * step) / 15);
    const stepped = along.filter((share) => {
      const px = Math.round(x + share * (nextX - x) + outX);
      const py = Math.round(y + share * (nextY - y) + outY);
      if (px < 0 || py < 0 || px >= width || py >= height) return false;
      const at = py * width + px;
      looked++;
      if (subject.data[at]! >= 128) onSubject++;
      return [0, 1, 2].some((channel) => {
        const code = data[3 * at + channel]!;
        return Math.abs(code - own[channel]!) >= leastStep;
      });
    });
    return stepped.length >= leastBordered * along.length;
  });
  return bordered && onSubject >= leastOnSubject * looked;
}

function boxOf({ width, height }: Rgb8, corners: readonly PointTuple[]): Box {
  const [xs, ys] = [0, 1].map((axis) => corners.map((corner) => corner[axis]!)) as [number[], number[]];
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return [left / width, top / height, (Math.max(...xs) - left) / width, (Math.max(...ys) - top) / height];
}
