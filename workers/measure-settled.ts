/**
 * A delivery can change while it is measured: somebody exports a frame once more. Frames that are other files at the end
 * than at the beginning are measured again, so that the documents are about what lies in the folder.
 */
import type { DeliveredFrame, Delivery } from '../pipeline/contracts/delivery.ts';
import type { Dispatcher, FrameOutcome, Progress } from '../pipeline/contracts/work.ts';
import { fileStamps } from './file-stamps.ts';

/** A folder that somebody is still copying into settles within a few rounds or not at all. */
const maxRounds = 3;

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
  let before = await fileStamps(frames);
  for (let round = 1; frames.length > 0 && round <= maxRounds; round += 1) {
    const measured = await dispatcher.measure({ ...delivery, frames: [...frames] }, onProgress, signal);
    for (const outcome of measured) outcomes.set(outcome.frameId, outcome);
    const after = await fileStamps(delivery.frames);
    frames = delivery.frames.filter(({ id }) => before.get(id) !== after.get(id));
    for (const { id } of frames) changed.add(id);
    before = after;
  }
  for (const id of changed) onChanged(id);
  return delivery.frames.flatMap(({ id }) => outcomes.get(id) ?? []);
}
