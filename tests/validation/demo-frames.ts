/** The demo shoot and what is measured on it. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Measurement } from '../../pipeline/contracts/measurement/measurement.ts';
import type { Evidence } from '../../pipeline/measure/evidence.ts';
import { measureFrame } from '../../pipeline/measure/measure-frame.ts';
import { once } from '../../pipeline/numeric/once.ts';
import { deliveryFolder, type TrueFrame, trueFrames } from '../helpers/demo-truth.ts';

export interface DemoFrame {
  readonly truth: TrueFrame;
  readonly measurement: Measurement;
  /** Masks and small pictures, by the names that the measurement calls them. */
  readonly evidence: readonly Evidence[];
}

/** Every frame that can be read; measured once, whichever sweep asks. */
export const demoFrames = once(async (): Promise<readonly DemoFrame[]> => {
  const frames: DemoFrame[] = [];
  for (const truth of trueFrames()) {
    if (truth.planted.includes('unreadable-file')) continue;
    frames.push({ truth, ...(await measureFrame(await readFile(join(deliveryFolder, truth.frame)))) });
  }
  return frames;
});
