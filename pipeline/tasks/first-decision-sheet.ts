import { dirname } from 'node:path';
import type { Results } from '../contracts/results.ts';
import { firstDecisionSheet } from '../report/decision-sheet.ts';
import { writeNewFile } from '../store/atomic-write.ts';
import { systemCode, systemMeaning } from '../store/system-error.ts';

/**
 * Writes the decisions sheet with every open finding where there is none yet; never over one.
 * @returns a remark where it could not be written: that costs nobody the run.
 */
export async function writeFirstSheet(
  path: string,
  judged: Pick<Results, 'garments' | 'frames'>,
): Promise<readonly string[]> {
  try {
    await writeNewFile(path, firstDecisionSheet(judged));
    return [];
  } catch (error) {
    if (systemCode(error) === null) throw error;
    return [
      `The decisions sheet could not be put into ${dirname(path)}: ${systemMeaning(error)}. Name a file of your own with --decisions.`,
    ];
  }
}
