import { type FrameView, type Observation, type SetCheck, standardLevels } from '../../contracts/check.ts';
import { hammingDistance } from '../../numeric/hamming.ts';
import { subjectBlurPx } from '../delivery-size.ts';
import { fileName, fileNames } from '../words.ts';

interface Pair {
  readonly a: number;
  readonly b: number;
  readonly bits: number;
}

function alike(frames: readonly FrameView[], belowBits: number): readonly Pair[] {
  const pairs: Pair[] = [];
  for (const [a, first] of frames.entries()) {
    for (const [b, second] of frames.entries()) {
      if (b <= a) continue;
      const same =
        first.measurement.framing.view === second.measurement.framing.view &&
        first.measurement.framing.crop === second.measurement.framing.crop;
      if (!same) continue;
      const bits = hammingDistance(first.measurement.likeness.dhash64, second.measurement.likeness.dhash64);
      if (bits < belowBits) pairs.push({ a, b, bits });
    }
  }
  return pairs;
}

/** Frames joined by likeness, directly or through others, in the delivery's order. */
function groups(size: number, pairs: readonly Pair[]): readonly (readonly number[])[] {
  const group = Array.from({ length: size }, (_, index) => index);
  for (const { a, b } of pairs) {
    const [keep, drop] = [Math.min(group[a]!, group[b]!), Math.max(group[a]!, group[b]!)];
    for (const [index, id] of group.entries()) if (id === drop) group[index] = keep;
  }
  return [...new Set(group)]
    .map((id) => group.flatMap((own, index) => (own === id ? [index] : [])))
    .filter((members) => members.length > 1);
}

/** The sharpest by the blur of the softest part of the model; the earlier one where nothing tells them apart. */
function sharpest(frames: readonly FrameView[]): FrameView {
  const blur = (frame: FrameView): number => subjectBlurPx(frame) ?? Number.POSITIVE_INFINITY;
  return frames.reduce((best, frame) => (blur(frame) < blur(best) ? frame : best));
}

export const nearDuplicate: SetCheck = {
  level: 'set',
  meta: {
    id: 'near-duplicate',
    title: 'Near-duplicates',
    what: 'Frames of the same view and crop that look alike (difference hash): one of them is enough, the sharpest is proposed.',
    quantities: {
      bits: {
        bad: 'below',
        unit: 'bits',
        meaning: 'differing bits between the 64-bit likeness of two frames of the same view and crop',
        levels: ['note'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ frames, limit }) => {
    const pairs = alike(frames, limit('bits', 'note') ?? 0);
    const observations = groups(frames.length, pairs).map((members): Observation => {
      const own = members.map((index) => frames[index]!);
      const best = sharpest(own);
      return {
        quantity: 'bits',
        value: Math.max(...pairs.filter(({ a }) => members.includes(a)).map(({ bits }) => bits)),
        group: own[0]!.id,
        frames: own.map(({ id }) => id),
        data: { best: best.id, measured: subjectBlurPx(best) !== null },
      };
    });
    return { observations };
  },
  describe: ({ frames, data }) => ({
    title: 'Near-duplicates',
    detail:
      `${fileNames(frames ?? [])} look alike. ` +
      (data?.measured
        ? `Keep ${fileName(String(data.best))}, the sharpest, and leave the others out.`
        : 'Keep one of them.'),
  }),
};
