/** Where a retouched file shows the very same as the frame it comes from. */
import { join } from 'node:path';
import type { Box } from '../contracts/box.ts';
import type { Measurement } from '../contracts/measurement/measurement.ts';
import { pictureChange } from '../decode/picture-change.ts';
import { picturesFolder } from '../report/links.ts';
import { evidencePath } from '../store/measurement-store.ts';
import { readIfThere } from '../store/read-if-there.ts';

/**
 * Codes of 8 bits, root mean square. From street photographs with even numbers: people left as they were differ by up to 1.5 after
 * saving as a JPEG of quality 95 or 75, people painted out by 6.7 or more; on odd ones 3.0 and 10.3.
 */
const unchangedCodes = 3;

export type IsUnchanged = (box: Box) => boolean;

/** Where the small pictures lie: those of the frames in the report, those of the retouched files in the store. */
export interface PictureStores {
  readonly report: string;
  readonly cache: string;
  readonly version: string;
}

async function wholeFrame({ pictures }: Measurement, folder: string): Promise<Buffer | null> {
  const picture = pictures.find(({ shows }) => shows === 'frame');
  return picture === undefined ? null : readIfThere(join(folder, picture.file));
}

/** @returns a test of a place in the frame; it says no where the two cannot be compared. */
export async function unchangedPlaces(
  before: Measurement,
  now: Measurement,
  { report, cache, version }: PictureStores,
): Promise<IsUnchanged> {
  const [then, after] = await Promise.all([
    wholeFrame(before, join(report, picturesFolder(before.contentHash))),
    wholeFrame(now, evidencePath(cache, now.contentHash, version, '')),
  ]);
  if (then === null || after === null) return () => false;
  const change = await pictureChange(then, after);
  return (box) => change(box) <= unchangedCodes;
}
