import type { FrameOutcome, FrameTask } from '../../pipeline/contracts/work.ts';
import { lookUpFrame } from '../../pipeline/tasks/measure-frame.ts';
import type { FramePool } from './frame-pool.ts';

/**
 * The frame's outcome from the store, or from a thread where nobody has measured these bytes yet.
 * @returns `null` where the pool was stopped before the frame was begun.
 */
export async function measureUnlessKnown(pool: FramePool, task: FrameTask): Promise<FrameOutcome | null> {
  const found = await lookUpFrame(task);
  const settled = 'outcome' in found && (found.outcome.ok || !found.outcome.mayPass);
  return settled ? found.outcome : pool.measure(task);
}
