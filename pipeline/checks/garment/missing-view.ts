import {
  type GarmentCheck,
  type GarmentView,
  type Observation,
  standardLevels,
} from '../../contracts/check.ts';
import { amount, fileName, fileNames } from '../words.ts';

const itemNames = new Map([
  ['front', 'front view'],
  ['three-quarter', 'three-quarter view'],
  ['side', 'side view'],
  ['back', 'back view'],
  ['detail', 'close detail'],
  ['waist', 'waist crop'],
  ['knee', 'knee crop'],
  ['full', 'full length with the feet'],
]);

/** Words for a view or crop; one the sheet asks for that is not ours is quoted. */
const itemName = (item: string): string => itemNames.get(item) ?? `"${item}"`;

/** A missing item is as grave as its best way out: look at an unsure frame, cut it from a wider one, or shoot it. */
function missing(item: string, { coverage, frames }: GarmentView): Observation {
  const common = { value: 0, group: item };
  const lost = coverage.lost.get(item) ?? [];
  const unsure = coverage.unsure.get(item) ?? [];
  const cut = coverage.cut.get(item);
  const data = { item, lost: lost.length > 0 ? fileNames(lost) : null };
  if (cut !== undefined) {
    return {
      ...common,
      quantity: 'cutFromWider',
      frames: [cut.frame],
      data: { ...data, from: cut.frame, longEdgePx: cut.longEdgePx },
    };
  }
  if (unsure.length > 0) {
    const copyAgain = frames.some(({ id, verdict }) => verdict === 'unreadable' && unsure.includes(id));
    return {
      ...common,
      quantity: 'unsure',
      frames: unsure,
      data: { ...data, unsure: fileNames(unsure), copyAgain },
    };
  }
  return { ...common, quantity: 'covering', ...(lost.length > 0 ? { frames: lost } : {}), data };
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

export const missingView: GarmentCheck = {
  level: 'garment',
  meta: {
    id: 'missing-view',
    title: 'Missing view or crop',
    what: 'Each view and crop the store requires, covered by at least one frame that passes or needs cleanup.',
    quantities: {
      covering: {
        bad: 'below',
        unit: 'frames',
        meaning: 'usable frames that show a required view or crop',
        levels: ['cleanup', 'reject'],
      },
      unsure: {
        bad: 'below',
        unit: 'frames',
        meaning: 'usable frames that surely show it, where others may show it but could not be told',
        levels: ['unmeasured', 'reject'],
      },
      cutFromWider: {
        bad: 'below',
        unit: 'frames',
        meaning: 'usable frames in a required crop that a wider frame is large enough to be cut to',
        levels: ['cleanup', 'reject'],
      },
      trueView: {
        bad: 'below',
        unit: 'frames',
        meaning: 'usable frames in the true view, where a three-quarter view stands in for it',
        levels: ['note', 'cleanup', 'reject'],
      },
    },
    levels: standardLevels,
  },
  observe: (garment) => ({
    observations: [
      ...garment.coverage.missing.map((item) => missing(item, garment)),
      ...[...garment.coverage.standIns].map(
        ([item, frame]): Observation => ({
          quantity: 'trueView',
          value: 0,
          group: item,
          frames: [frame],
          data: { item, frame },
        }),
      ),
    ],
  }),
  describe: ({ quantity, data }) => {
    const name = itemName(String(data?.item));
    const lost = data?.lost ? ` ${data.lost} would show it but cannot be used.` : '';
    switch (quantity) {
      case 'trueView':
        return {
          title: `${capital(name)} only three-quarter`,
          detail: `No usable frame shows the ${name} straight on; ${fileName(String(data?.frame))}, a three-quarter view, stands in for it. Shoot it straight on if the store insists.`,
        };
      case 'unsure':
        return {
          title: `${capital(name)} not certain`,
          detail: `No usable frame surely shows the ${name}; ${data?.unsure} may.${lost} Look${data?.copyAgain ? ', copy unreadable files again' : ''}, and shoot it if none does.`,
        };
      case 'cutFromWider':
        return {
          title: `${capital(name)} missing`,
          detail: `No usable frame is a ${name}.${lost} Cut it from ${fileName(String(data?.from))}: about ${amount(Number(data?.longEdgePx), 'px', 3)} remain on the long edge.`,
        };
      default:
        return {
          title: `${capital(name)} missing`,
          detail: `No usable frame shows the ${name}.${lost} Look for one on the card, or shoot it again.`,
        };
    }
  },
};
