import { type BoxTuple, shareInside } from '../../numeric/boxes.ts';

/** Somebody who could be the model; box in px of the picture. */
export interface Prospect {
  readonly box: BoxTuple;
  /** How sure the body point network is, 0..1. */
  readonly score: number;
  /** Sharpness relative to the others, from {@link relativeFocus}; `null` where it cannot be told. */
  readonly focus: number | null;
}

export interface Chosen {
  readonly index: number;
  readonly because: string;
}

/** A model fills at least this share of the frame's height; whoever is smaller is part of the scenery (common practice: a full-length fills four fifths). */
const leastHeight = 0.2;

/** A second model stands beside the first at the same distance: as tall within a quarter, on the same ground, as sharp, whole and surely posed. */
const second = { heightShare: 0.75, groundShare: 0.15, focusShare: 0.7, score: 0.3, overlap: 0.5 } as const;

/** Within this share of the frame's width from its middle line somebody stands "in the middle". */
const middleShare = 0.17;

interface Rated extends Prospect {
  readonly index: number;
  readonly prominence: number;
  readonly offCentre: number;
}

function rate(prospects: readonly Prospect[], width: number, height: number): readonly Rated[] {
  const sharpest = Math.max(...prospects.map(({ focus }) => focus ?? 0));
  return prospects
    .map((prospect, index) => {
      const [x, , w, h] = prospect.box;
      const offCentre = Math.abs((x + w / 2) / width - 0.5);
      const size = Math.sqrt((w * h) / (width * height));
      const focus = prospect.focus === null || sharpest === 0 ? 1 : prospect.focus / sharpest;
      // Each of the four counts, none decides alone: square roots keep the certainty and focus from outweighing size and place.
      const prominence = size * (1 - offCentre) * Math.sqrt(prospect.score) * Math.sqrt(focus);
      return { ...prospect, index, prominence, offCentre };
    })
    .filter(({ box }) => box[3] >= leastHeight * height)
    .sort((a, b) => b.prominence - a.prominence || a.index - b.index);
}

function describe(chosen: Rated, all: readonly Rated[], height: number): string {
  const others = all.filter(({ index }) => index !== chosen.index);
  const leads = (value: (rated: Rated) => number) => others.every((other) => value(chosen) >= value(other));
  const percent = Math.round((100 * chosen.box[3]) / height);
  const size = `${percent} % of the frame's height`;
  if (others.length === 0) return `The only one of a model's size: ${size}.`;
  const reasons = [
    leads(({ box }) => box[2] * box[3]) ? `the largest (${size})` : size,
    chosen.offCentre <= middleShare
      ? 'in the middle'
      : leads(({ offCentre }) => -offCentre)
        ? 'nearest the middle'
        : '',
    chosen.focus !== null && leads(({ focus }) => focus ?? 0) ? 'the sharpest' : '',
    leads(({ score }) => score) ? 'with the clearest pose' : '',
  ].filter((reason) => reason !== '');
  return `Out of ${all.length} of a model's size: ${reasons.join(', ')}.`;
}

function posesBeside(first: Rated, other: Rated, width: number, height: number): boolean {
  const ground = Math.abs(first.box[1] + first.box[3] - (other.box[1] + other.box[3]));
  const cut = other.box[0] <= 0.005 * width || other.box[0] + other.box[2] >= 0.995 * width;
  const sharp =
    first.focus === null || other.focus === null || other.focus >= second.focusShare * first.focus;
  return (
    !cut &&
    sharp &&
    other.score >= second.score &&
    other.box[3] >= second.heightShare * first.box[3] &&
    ground <= second.groundShare * height &&
    shareInside(other.box, first.box) <= second.overlap
  );
}

/**
 * Who the model is, or the models are: by size, place, focus and pose together; then whoever poses beside the first.
 * @param width px of the picture, `height` likewise.
 * @returns indices into `prospects`, most prominent first; empty where nobody is of a model's size.
 */
export function chooseSubjects(
  prospects: readonly Prospect[],
  width: number,
  height: number,
): readonly Chosen[] {
  const rated = rate(prospects, width, height);
  const first = rated[0];
  if (first === undefined) return [];
  const chosen = [first, ...rated.slice(1).filter((other) => posesBeside(first, other, width, height))];
  return chosen.map((one) => ({
    index: one.index,
    because: `${describe(one, rated, height)}${one === first ? '' : ' Poses beside the first at the same distance.'}`,
  }));
}
