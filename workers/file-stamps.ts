/** Stamps of files: what tells a file that was written to or replaced from the one that was there before. */
import { stat } from 'node:fs/promises';
import type { DeliveredFrame } from '../pipeline/contracts/delivery.ts';

/** Files asked at once. */
const atOnce = 32;

/** What changes when a file is replaced or written to; `null` where there is none. */
async function stampOf(path: string): Promise<string | null> {
  return stat(path).then(
    ({ ino, size, mtimeMs, ctimeMs }) => [ino, size, mtimeMs, ctimeMs].join(':'),
    () => null,
  );
}

/** @returns frame id to the stamp of its file. */
export async function fileStamps(
  frames: readonly DeliveredFrame[],
): Promise<ReadonlyMap<string, string | null>> {
  const found = new Map<string, string | null>();
  for (let start = 0; start < frames.length; start += atOnce) {
    const some = frames.slice(start, start + atOnce);
    const each = await Promise.all(some.map(({ path }) => stampOf(path)));
    some.forEach(({ id }, index) => {
      found.set(id, each[index] ?? null);
    });
  }
  return found;
}
