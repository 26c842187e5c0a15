import { amount, fileName, fileNames } from '../checks/words.ts';
import type { CoverageDetail, JudgedFrame } from '../contracts/check.ts';
import { countsAs } from './decide.ts';

/** What a rejected frame is rejected for. */
function gravest({ findings }: JudgedFrame): string {
  const titles = findings.filter((finding) => countsAs(finding) === 'reject').map(({ title }) => title);
  return [...new Set(titles)].join('; ');
}

/**
 * Why each missing view or crop is missing, and whether work on the frames at hand would supply it.
 * @param frames the garment's, with their verdicts.
 * @returns missing item to one plain sentence.
 */
export function missingBecause(
  { missing, cut, unsure, lost }: Pick<CoverageDetail, 'missing' | 'cut' | 'unsure' | 'lost'>,
  frames: readonly JudgedFrame[],
): Readonly<Record<string, string>> {
  const byId = new Map(frames.map((frame) => [frame.id, frame]));
  const sentence = (item: string): string => {
    const from = cut.get(item);
    if (from !== undefined)
      return `Cleanup would supply it: ${fileName(from.frame)} can be cut to it with ${amount(from.longEdgePx, 'px', 3)} left on the long edge.`;
    const doubtful = unsure.get(item);
    if (doubtful !== undefined) return `A person must look: ${fileNames(doubtful)} may show it.`;
    const best = byId.get(lost.get(item)?.[0] ?? '');
    if (best !== undefined)
      return `Cleanup would not supply it: ${fileName(best.id)} shows it, but is rejected (${gravest(best)}).`;
    return 'No frame shows it, so cleanup cannot supply it.';
  };
  return Object.fromEntries(missing.map((item) => [item, sentence(item)]));
}
