import type { Framing, People } from '../contracts/measurement/people.ts';
import { averagePrecision, cocoAreaRanges, type PictureBoxes } from '../numeric/average-precision.ts';
import { type BoxTuple, boxInPx, intersectionArea, shareInside } from '../numeric/boxes.ts';
import { pairBoxes } from '../numeric/matching.ts';
import { type Proportion, wilsonInterval } from '../numeric/proportion.ts';
import type { ScoredBox } from '../numeric/suppression.ts';
import type { LabelledFrame } from './labels.ts';

/** What the product measured on one labelled frame. */
export interface MeasuredFrame {
  readonly file: string;
  /** px of the upright frame. */
  readonly width: number;
  readonly height: number;
  readonly people: People;
  readonly framing: Framing;
  /** Every detection down to a low score, px: what average precision is computed from. */
  readonly candidates: readonly ScoredBox[];
}

/** Overlap at which a found background person counts as the labelled one: labels are drawn by hand to about 10 px, so half would lose small people. */
const personMinIou = 0.4;
/** Overlap at which a subject's box counts as right. */
const subjectMinIou = 0.7;
/** Height as a share of the frame's height from which a background person must be found. */
const countedHeightShare = 0.1;

/** A table of counts: labelled value, then measured value. */
export type Confusion = Readonly<Record<string, Readonly<Record<string, number>>>>;

export interface Miss {
  readonly file: string;
  /** `missed`: labelled, not found. `false-alarm`: found, not labelled. */
  readonly kind: 'missed' | 'false-alarm';
  /** px; `null` where the frame as a whole is meant. */
  readonly box: BoxTuple | null;
  readonly words: string;
}

export interface AccuracyFigures {
  readonly frames: number;
  readonly ambiguous: number;
  /** Frames with a person in the background that are flagged, of those that have one; ambiguous frames left out. */
  readonly frameRecall: Proportion | null;
  readonly framePrecision: Proportion | null;
  /** Background people at least a tenth of the frame tall that are found. `null` without boxes. */
  readonly personRecall: Proportion | null;
  /** The same, counting also those that are only noted as perhaps something else. */
  readonly personRecallWithNotes: Proportion | null;
  /** Background people of any size that are found. */
  readonly personRecallAnySize: Proportion | null;
  readonly personPrecision: Proportion | null;
  /** Of all people, by size of the COCO evaluation. */
  readonly averagePrecision: Readonly<Record<keyof typeof cocoAreaRanges, number | null>> | null;
  readonly subjectRight: Proportion | null;
  readonly cropRight: Proportion | null;
  readonly viewRight: Proportion | null;
  /** Counting the neighbouring view (front - three-quarter - side, three-quarter - back) as right. */
  readonly viewNearlyRight: Proportion | null;
  readonly feetRight: Proportion | null;
  readonly crop: Confusion;
  readonly view: Confusion;
  readonly feet: Confusion;
  readonly misses: readonly Miss[];
}

interface Pair {
  readonly label: LabelledFrame;
  readonly measured: MeasuredFrame;
}

const share = (of: readonly boolean[]): Proportion | null =>
  wilsonInterval(of.filter((right) => right).length, of.length);

/** People that a report would flag: those not marked as perhaps something else. */
const flagged = (measured: MeasuredFrame): readonly BoxTuple[] =>
  measured.people.background.filter(({ mayBe }) => mayBe === null).map(({ box }) => boxInPx(box, measured));

/** Everybody that a report would name: flagged, or noted as perhaps something else. */
const named = (measured: MeasuredFrame): readonly BoxTuple[] =>
  measured.people.background.map(({ box }) => boxInPx(box, measured));

function frameLevel(pairs: readonly Pair[]) {
  const clear = pairs.filter(({ label }) => !label.ambiguous);
  const has = ({ label }: Pair) => label.backgroundPeople > 0;
  const found = ({ measured }: Pair) => flagged(measured).length > 0;
  const misses: Miss[] = [];
  for (const pair of clear) {
    if (has(pair) && !found(pair)) {
      const words = `frame not flagged; ${pair.label.backgroundPeople} in the background`;
      misses.push({ file: pair.label.file, kind: 'missed', box: null, words });
    }
    if (!has(pair) && found(pair)) {
      const words = 'frame flagged; nobody in the background';
      misses.push({ file: pair.label.file, kind: 'false-alarm', box: null, words });
    }
  }
  return {
    frameRecall: share(clear.filter(has).map(found)),
    framePrecision: share(clear.filter(found).map(has)),
    misses,
  };
}

function personLevel(pairs: readonly Pair[]) {
  const counted: boolean[] = [];
  const withNotes: boolean[] = [];
  const anySize: boolean[] = [];
  const right: boolean[] = [];
  const misses: Miss[] = [];
  for (const { label, measured } of pairs) {
    if (label.boxes === null) continue;
    const { file } = label;
    const found = flagged(measured);
    const { missed, unmatched } = pairBoxes(label.boxes.background, found, personMinIou);
    const unnamed = pairBoxes(label.boxes.background, named(measured), personMinIou).missed;
    const tall = (box: BoxTuple) => box[3] >= countedHeightShare * measured.height;
    label.boxes.background.forEach((box, index) => {
      const hit = !missed.includes(index);
      anySize.push(hit);
      if (!tall(box)) return;
      counted.push(hit);
      withNotes.push(!unnamed.includes(index));
      const percent = Math.round((100 * box[3]) / measured.height);
      if (!hit)
        misses.push({
          file,
          kind: 'missed',
          box,
          words: `missed person, ${percent} % of the frame's height`,
        });
    });
    found.forEach((box, index) => {
      const alarm = unmatched.includes(index);
      const inCrowd = label.boxes?.crowds.some((crowd) => shareInside(box, crowd) >= personMinIou) ?? false;
      if (alarm && inCrowd) return;
      right.push(!alarm);
      if (!alarm) return;
      const near = label.boxes?.background.some((person) => intersectionArea(person, box) > 0);
      const words = near ? 'box off, doubled or merged with a labelled person' : 'nobody labelled there';
      misses.push({ file, kind: 'false-alarm', box, words });
    });
  }
  return {
    personRecall: share(counted),
    personRecallWithNotes: share(withNotes),
    personRecallAnySize: share(anySize),
    personPrecision: share(right),
    misses,
  };
}

function subjectLevel(pairs: readonly Pair[]) {
  const right: boolean[] = [];
  const misses: Miss[] = [];
  for (const { label, measured } of pairs) {
    const found = measured.people.subjects.map(({ box }) => boxInPx(box, measured));
    const countRight = found.length === label.subjects;
    const placed = label.boxes === null ? null : pairBoxes(label.boxes.subjects, found, subjectMinIou);
    const ok = countRight && (placed === null || placed.missed.length === 0);
    right.push(ok);
    if (ok) continue;
    const box = label.boxes?.subjects[placed?.missed[0] ?? 0] ?? null;
    const words = countRight
      ? `subject's box is off (IoU below ${subjectMinIou})`
      : `${found.length} subjects found, ${label.subjects} labelled`;
    misses.push({ file: label.file, kind: 'missed', box, words });
  }
  return { subjectRight: share(right), misses };
}

function confusion(rows: readonly (readonly [string, string])[]): Confusion {
  const table: Record<string, Record<string, number>> = {};
  for (const [labelled, measured] of rows) {
    const row = table[labelled] ?? {};
    row[measured] = (row[measured] ?? 0) + 1;
    table[labelled] = row;
  }
  return table;
}

const viewNeighbours: readonly (readonly [string, string])[] = [
  ['front', 'three-quarter'],
  ['three-quarter', 'side'],
  ['three-quarter', 'back'],
];

/** Whether two views are the same or next to each other on the way round the body. */
export const nearView = (a: string, b: string): boolean =>
  a === b || viewNeighbours.some(([x, y]) => (x === a && y === b) || (x === b && y === a));

function framingLevel(pairs: readonly Pair[]) {
  const cropRows = pairs.map(({ label, measured }) => [label.crop, measured.framing.crop] as const);
  const viewRows = pairs
    .filter(({ label }) => label.view !== 'unknown')
    .map(({ label, measured }) => [label.view, measured.framing.view] as const);
  const feetRows = pairs
    .filter(({ label }) => label.feetVisible !== null)
    .map(
      ({ label, measured }) =>
        [String(label.feetVisible), String(measured.framing.feetVisible ?? 'unknown')] as const,
    );
  const misses = pairs.flatMap(({ label, measured }): Miss[] => {
    const wrong = [
      label.crop === measured.framing.crop ? '' : `crop ${measured.framing.crop}, labelled ${label.crop}`,
      label.view === 'unknown' || nearView(label.view, measured.framing.view)
        ? ''
        : `view ${measured.framing.view}, labelled ${label.view}`,
      label.feetVisible === null || label.feetVisible === measured.framing.feetVisible
        ? ''
        : `${measured.framing.feetVisible ?? 'unknown'} feet visible, labelled ${label.feetVisible}`,
    ].filter((text) => text !== '');
    return wrong.map((words) => ({ file: label.file, kind: 'missed', box: null, words }));
  });
  return {
    cropRight: share(cropRows.map(([a, b]) => a === b)),
    viewRight: share(viewRows.map(([a, b]) => a === b)),
    viewNearlyRight: share(viewRows.map(([a, b]) => nearView(a, b))),
    feetRight: share(feetRows.map(([a, b]) => a === b)),
    crop: confusion(cropRows),
    view: confusion(viewRows),
    feet: confusion(feetRows),
    misses,
  };
}

function allPeople(pairs: readonly Pair[]): AccuracyFigures['averagePrecision'] {
  const pictures = pairs.flatMap(({ label, measured }): PictureBoxes[] =>
    label.boxes === null
      ? []
      : [
          {
            truth: [...label.boxes.subjects, ...label.boxes.background],
            ignored: label.boxes.crowds,
            found: measured.candidates,
          },
        ],
  );
  if (pictures.length === 0) return null;
  const of = (size: keyof typeof cocoAreaRanges) => averagePrecision(pictures, 0.5, cocoAreaRanges[size]);
  return { all: of('all'), small: of('small'), medium: of('medium'), large: of('large') };
}

/**
 * Compare what was measured with what was labelled. Frames are paired by file name; every labelled frame needs its measurement.
 * Shares come with Wilson 95 % intervals; a figure for which the labels have no case is `null`.
 * @throws RangeError when a labelled frame has no measurement.
 */
export function measureAccuracy(
  labels: readonly LabelledFrame[],
  measured: readonly MeasuredFrame[],
): AccuracyFigures {
  const byFile = new Map(measured.map((frame) => [frame.file, frame]));
  const pairs = labels.map((label): Pair => {
    const frame = byFile.get(label.file);
    if (frame === undefined) throw new RangeError(`expected a measurement of ${label.file}, received none`);
    return { label, measured: frame };
  });
  const frame = frameLevel(pairs);
  const person = personLevel(pairs);
  const subject = subjectLevel(pairs);
  const framing = framingLevel(pairs);
  return {
    frames: pairs.length,
    ambiguous: labels.filter(({ ambiguous }) => ambiguous).length,
    ...person,
    ...subject,
    ...framing,
    ...frame,
    averagePrecision: allPeople(pairs),
    misses: [...frame.misses, ...person.misses, ...subject.misses, ...framing.misses],
  };
}
