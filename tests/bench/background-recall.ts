/** Background people found, by the product and by the script, counted as `nightrail accuracy` counts them. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { type LabelledFrame, readLabels } from '../../pipeline/accuracy/labels.ts';
import type { People } from '../../pipeline/contracts/measurement/people.ts';
import { type BoxTuple, boxArea, boxInPx, shareInside } from '../../pipeline/numeric/boxes.ts';
import { pairBoxes } from '../../pipeline/numeric/matching.ts';
import { wilsonInterval } from '../../pipeline/numeric/proportion.ts';

/** The limits of `pipeline/accuracy/figures.ts`. */
const minIou = 0.4;
const leastHeightShare = 0.1;

export async function labelsOf(folder: string): Promise<readonly LabelledFrame[]> {
  const [labels, boxes] = await Promise.all(
    ['labels.csv', 'boxes.csv'].map((name) => readFile(join(folder, name), 'utf8')),
  );
  return readLabels(labels ?? '', boxes ?? '');
}

export class Recall {
  private found = 0;
  private labelled = 0;
  private wrong = 0;

  add(boxes: readonly BoxTuple[], frame: LabelledFrame, heightPx: number): void {
    if (frame.boxes === null) return;
    const { background, crowds } = frame.boxes;
    const { missed, unmatched } = pairBoxes(background, boxes, minIou);
    background.forEach((box, index) => {
      if (box[3] < leastHeightShare * heightPx) return;
      this.labelled++;
      if (!missed.includes(index)) this.found++;
    });
    const inCrowd = (index: number): boolean =>
      crowds.some((crowd) => shareInside(boxes[index] ?? crowd, crowd) >= minIou);
    this.wrong += unmatched.filter((index) => !inCrowd(index)).length;
  }

  words(): string {
    const share = wilsonInterval(this.found, this.labelled);
    if (share === null) return 'no labelled people';
    const percent = (of: number): string => (100 * of).toFixed(0);
    return (
      `${this.found} of ${this.labelled} found (${percent(share.share)} %, ${percent(share.low)} to ` +
      `${percent(share.high)}), ${this.wrong} boxes on nobody`
    );
  }
}

/** People the report would flag. */
export function flagged(people: People, size: { readonly width: number; readonly height: number }) {
  return people.background.filter(({ mayBe }) => mayBe === null).map(({ box }) => boxInPx(box, size));
}

/** Everybody but the largest: the script knows no model. */
export function allButLargest(boxes: readonly BoxTuple[]): readonly BoxTuple[] {
  return [...boxes].sort((a, b) => boxArea(b) - boxArea(a)).slice(1);
}
