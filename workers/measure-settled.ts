/**
 * A delivery can change while it is measured: somebody exports a frame once more. Frames that are other files at the end
 * than at the beginning are measured again, so that the documents are about what lies in the folder.
 */
import { stat } from 'node:fs/promises';
import type { DeliveredFrame, Delivery } from '../pipeline/contracts/delivery.ts';
import type { Dispatcher, FrameOutcome, Progress } from '../pipeline/contracts/work.ts';

/** A folder that somebody is still copying into settles within a few rounds or not at all. */
const maxRounds = 3;
/** Files asked at once. */
const atOnce = 32;

/** What changes when a file is replaced or written to; `null` where there is none. */
async function stampOf(path: string): Promise<string | null> {
  return stat(path).then(
    ({ ino, size, mtimeMs, ctimeMs }) => [ino, size, mtimeMs, ctimeMs].join(':'),
    () => null,
  );
}

async function stamps(frames: readonly DeliveredFrame[]): Promise<ReadonlyMap<string, string | null>> {
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

/**
 * Measures a delivery until no frame was changed meanwhile.
 *
 * @param onChanged called once for each frame whose file was written to or replaced while the run was going. Whether the picture in it
 * is another one cannot be told: the run may have come to the frame after the change.
 */
export async function measureSettled(
  dispatcher: Dispatcher,
  delivery: Delivery,
  {
    onProgress,
    onChanged,
    signal,
  }: {
    onProgress(progress: Progress): void;
    onChanged(frameId: string): void;
    readonly signal: AbortSignal;
  },
): Promise<readonly FrameOutcome[]> {
  const outcomes = new Map<string, FrameOutcome>();
  const changed = new Set<string>();
  let frames: readonly DeliveredFrame[] = delivery.frames;
  let before = await stamps(frames);
  for (let round = 1; frames.length > 0 && round <= maxRounds; round += 1) {
    const measured = await dispatcher.measure({ ...delivery, frames: [...frames] }, onProgress, signal);
    for (const outcome of measured) outcomes.set(outcome.frameId, outcome);
    const after = await stamps(delivery.frames);
    frames = delivery.frames.filter(({ id }) => before.get(id) !== after.get(id));
    for (const { id } of frames) changed.add(id);
    before = after;
  }
  for (const id of changed) onChanged(id);
  return delivery.frames.flatMap(({ id }) => outcomes.get(id) ?? []);
}
