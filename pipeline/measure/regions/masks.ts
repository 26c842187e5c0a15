/** From labelled patches to masks of the whole reduced picture. */
import type { Box } from '../../contracts/box.ts';
import type { Mask } from '../../contracts/frame-image.ts';
import { bilinearPlaces } from '../../numeric/bilinear-places.ts';
import { clipBox, growBox } from '../../numeric/boxes.ts';
import { dilateSquare } from '../../numeric/dilate.ts';
import { type Part, parts } from './parts.ts';
import type { Patch } from './patch.ts';

export interface LabelledPatch {
  readonly patch: Patch;
  /** Index of the part that each cell shows. */
  readonly labels: Uint8Array;
}

/** Coverage from which a px counts as inside. */
const inside = 128;
/** A region smaller than this share of the picture is not one: about 200 px of a reduced picture. */
const leastShare = 0.0002;
/** Distance from the subject's outline, shares of the picture's longer side: wider than the blur of any outline seen. */
const outlineMargin = 0.015;
/** px; a fourth of the outline's margin on the reduced picture. */
const block = 4;
/** Room around a background person's box, which may cut hands and feet. */
const personGrowth = 0.05;

/** The likeliest part of each cell. */
export function likeliestParts(patch: Patch, probabilities: Float32Array): Uint8Array {
  const cells = patch.columns * patch.rows;
  const labels = new Uint8Array(cells);
  for (let cell = 0; cell < cells; cell++) {
    let best = 0;
    for (let part = 1; part < parts.length; part++) {
      if (probabilities[part * cells + cell]! > probabilities[best * cells + cell]!) best = part;
    }
    labels[cell] = best;
  }
  return labels;
}

/** Writes where a patch shows the wanted parts, read bilinearly, into the mask where it covers more. */
function spread({ patch, labels }: LabelledPatch, wanted: readonly boolean[], mask: Mask): void {
  const { region, columns, rows } = patch;
  const member = new Uint8Array(labels.length);
  for (let cell = 0; cell < labels.length; cell++) member[cell] = wanted[labels[cell]!] === true ? 1 : 0;
  const across = bilinearPlaces(mask.width, columns, region.x, region.width);
  const down = bilinearPlaces(mask.height, rows, region.y, region.height);
  const first = Math.max(0, Math.floor(region.x));
  const right = Math.min(mask.width, Math.ceil(region.x + region.width));
  const bottom = Math.min(mask.height, Math.ceil(region.y + region.height));
  /** Of each cell, one past the last px that lies between its middle and the next one's. */
  const ends = new Int32Array(columns);
  for (let x = first; x < right; x++) ends[across.before[x]!] = x + 1;
  for (let y = Math.max(0, Math.floor(region.y)); y < bottom; y++) {
    const above = down.before[y]! * columns;
    const below = down.next[y]! * columns;
    const shareBelow = down.share[y]!;
    for (let x = first; x < right; ) {
      const left = across.before[x]!;
      const next = across.next[x]!;
      const end = ends[left]!;
      const a = member[above + left]!;
      const b = member[above + next]!;
      const c = member[below + left]!;
      const d = member[below + next]!;
      const count = a + b + c + d;
      if (count === 0) x = end;
      for (; x < end; x++) {
        const shareNext = across.share[x]!;
        const value =
          count === 4
            ? 1
            : (a * (1 - shareNext) + b * shareNext) * (1 - shareBelow) +
              (c * (1 - shareNext) + d * shareNext) * shareBelow;
        const at = y * mask.width + x;
        const cover = Math.round(255 * value);
        if (cover > mask.data[at]!) mask.data[at] = cover;
      }
    }
  }
}

function largeEnough(mask: Mask): Mask | null {
  const { data } = mask;
  let missing = leastShare * data.length;
  for (let at = 0; at < data.length && missing > 0; at++) if (data[at]! >= inside) missing--;
  return missing > 0 ? null : mask;
}

/** Mask of some parts over all subjects; `null` where they cover next to nothing. */
export function maskOfParts(
  patches: readonly LabelledPatch[],
  wanted: readonly Part[],
  size: { readonly width: number; readonly height: number },
): Mask | null {
  const { width, height } = size;
  const mask: Mask = { width, height, data: new Uint8Array(width * height) };
  const flags = parts.map((part) => wanted.includes(part));
  for (const labelled of patches) spread(labelled, flags, mask);
  return largeEnough(mask);
}

/** For each block of px, whether the mask covers any of them. */
function blocksTouched({ width, height, data }: Mask, columns: number, rows: number): Uint8Array {
  const touched = new Uint8Array(columns * rows);
  for (let y = 0, at = 0; y < height; y++) {
    const row = Math.floor(y / block) * columns;
    for (let x = 0; x < width; ) {
      let covered = 0;
      const cell = row + Math.floor(x / block);
      for (const end = Math.min(width, x + block); x < end; x++, at++) covered |= data[at]!;
      if (covered !== 0) touched[cell] = 1;
    }
  }
  return touched;
}

/** Clears all within `margin` px of the mask, in blocks: the edge of the background needs no px. */
function clearAround(mask: Mask, margin: number, data: Uint8Array): void {
  const { width, height } = mask;
  const columns = Math.ceil(width / block);
  const rows = Math.ceil(height / block);
  const touched = blocksTouched(mask, columns, rows);
  const near = dilateSquare(touched, columns, rows, Math.ceil(margin / block));
  for (let y = 0; y < height; y++) {
    const row = Math.floor(y / block) * columns;
    for (let column = 0; column < columns; column++) {
      const first = column;
      while (column < columns && near[row + column] !== 0) column++;
      if (column === first) continue;
      data.fill(0, y * width + first * block, y * width + Math.min(width, column * block));
    }
  }
}

/** Everything well away from the subjects and from other people; `null` where that is next to nothing. */
export function backgroundMask(
  subject: Mask | null,
  people: readonly Box[],
  size: { readonly width: number; readonly height: number },
): Mask | null {
  const { width, height } = size;
  const data = new Uint8Array(width * height).fill(255);
  if (subject !== null) clearAround(subject, Math.ceil(outlineMargin * Math.max(width, height)), data);
  for (const person of people) {
    const [x, y, boxWidth, boxHeight] = clipBox(growBox(person, personGrowth), 1, 1);
    const right = Math.ceil((x + boxWidth) * width);
    for (let row = Math.floor(y * height); row < Math.ceil((y + boxHeight) * height); row++) {
      data.fill(0, row * width + Math.floor(x * width), row * width + right);
    }
  }
  return largeEnough({ width, height, data });
}
