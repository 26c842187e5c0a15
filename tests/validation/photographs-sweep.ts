/** What is found on labelled photographs of people: eyes, and cloth. */
import type { Mask } from '../../pipeline/contracts/frame-image.ts';
import { wilsonInterval } from '../../pipeline/numeric/proportion.ts';
import { mean } from '../../pipeline/numeric/statistics.ts';
import {
  halves,
  type LabelledPhotograph,
  labelledPhotographs,
  pixelLabelNames,
  pixelLabelsIn,
  seenIn,
} from './labelled-photographs.ts';
import type { SweepPlan, SweepPoint } from './sweep.ts';
import { successes } from './words.ts';

const inside = 128;

/** Clothing labels that are no cloth: nothing, the person, shoes, bags, jewellery and what is worn like it. */
const notCloth = new Set([
  ...['null', 'skin', 'hair'],
  ...['boots', 'clogs', 'flats', 'heels', 'loafers', 'pumps', 'sandals', 'shoes', 'sneakers', 'wedges'],
  ...['bag', 'purse', 'wallet'],
  ...['accessories', 'bracelet', 'earrings', 'necklace', 'ring', 'watch', 'glasses', 'sunglasses'],
]);

/** One point a half: the mean of `value` over its photographs, measured one after the other. */
async function meanOfHalves(
  photographs: readonly LabelledPhotograph[],
  least: number,
  value: (photograph: LabelledPhotograph) => Promise<number>,
  words: (values: readonly number[]) => string,
): Promise<readonly SweepPoint[]> {
  const points: SweepPoint[] = [];
  for (const half of halves) {
    const values: number[] = [];
    for (const photograph of photographs) {
      if (photograph.half === half) values.push(await value(photograph));
    }
    if (values.length === 0) continue;
    const condition = `${half} numbers: ${words(values)}`;
    points.push({ truth: 1, measured: mean(values), low: least, high: 1, condition });
  }
  return points;
}

function frames(found: readonly number[]): string {
  const share = wilsonInterval(found.filter((one) => one === 1).length, found.length);
  return share === null ? 'none' : successes(share);
}

function overlaps(values: readonly number[]): string {
  const centre = mean(values);
  const variance = mean(values.map((value) => (value - centre) ** 2));
  const half = 1.96 * Math.sqrt(variance / values.length);
  return `${values.length} photographs, 95 % interval ${(centre - half).toFixed(2)} to ${(centre + half).toFixed(2)}, worst photograph ${Math.min(...values).toFixed(2)}`;
}

/** Share of the frames with visible eyes on which they are found and their blur is measured. */
export function eyesOnPhotographs(folder: string, labels: string): SweepPlan {
  return {
    id: 'photographs-eyes',
    quantity: 'eyes found and measured',
    unit: 'share of frames',
    range: 'photographs labelled eyes = visible, even and odd numbers apart',
    source: 'labels by hand',
    limitText: 'at least 0.85',
    measure: async () => {
      const photographs = await labelledPhotographs(folder, labels);
      const visible = photographs.filter(({ eyes }) => eyes === 'visible');
      const measured = async (photograph: LabelledPhotograph) =>
        (await seenIn(photograph)).sharpness.eyes === null ? 0 : 1;
      return meanOfHalves(visible, 0.85, measured, frames);
    },
  };
}

/** Intersection over union of the garment region and the px labelled as cloth, mean over photographs. */
export function garmentOnPhotographs(folder: string, labels: string): SweepPlan {
  return {
    id: 'photographs-garment',
    quantity: 'garment region',
    unit: 'intersection over union',
    range: 'photographs with pixel labels, even and odd numbers apart',
    source: 'pixel labels by hand: all cloth; not skin, hair, shoes, bags, jewellery',
    limitText: 'mean at least 0.75',
    measure: async () => {
      const photographs = await labelledPhotographs(folder, labels);
      const labelled = photographs.filter(({ pixelLabels }) => pixelLabels !== null);
      const names = labelled.length > 0 ? await pixelLabelNames(labels) : [];
      const isCloth = names.map((name) => !notCloth.has(name));
      const overlapOf = async (photograph: LabelledPhotograph) => {
        const { garment } = (await seenIn(photograph)).regions;
        if (garment === null || photograph.pixelLabels === null) return 0;
        const truth = await pixelLabelsIn(photograph.pixelLabels, garment.width, garment.height);
        return overlap(garment, (px) => isCloth[truth[px]!] === true);
      };
      return meanOfHalves(labelled, 0.75, overlapOf, overlaps);
    },
  };
}

function overlap({ data }: Mask, truth: (px: number) => boolean): number {
  let both = 0;
  let either = 0;
  for (let px = 0; px < data.length; px++) {
    const found = data[px]! >= inside;
    const there = truth(px);
    if (found && there) both++;
    if (found || there) either++;
  }
  return both / either;
}
