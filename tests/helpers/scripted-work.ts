/**
 * Work for measuring threads whose behaviour stands in the frame itself, so that a test can plant a frame that hangs, exits,
 * runs out of memory or brings the process down. Handed to the pool as another module; the product never loads it.
 */
import { appendFileSync, existsSync, writeFileSync } from 'node:fs';
import { setTimeout as delay } from 'node:timers/promises';
import { codedError } from '../../pipeline/errors.ts';
import type { MeasureStep } from '../../pipeline/tasks/measure-frame.ts';
import { threadWork } from '../../workers/pool/thread-work.ts';
import { fakeMeasurement } from './fake-measurement.ts';
import { type Script, scriptedVersion } from './scripts.ts';

function exhaustHeap(): never {
  const kept: number[][] = [];
  // Fractions: numbers that the engine keeps in its heap, 8 bytes each.
  for (;;) kept.push(new Array(1_000_000).fill(kept.length + 0.5));
}

async function act(script: Script): Promise<void> {
  switch (script.does) {
    case 'measures':
      return;
    case 'sleeps':
      if (!existsSync(script.untilFile ?? '')) await delay(script.ms ?? 0);
      return;
    case 'waits':
      while (!existsSync(script.untilFile ?? '')) await delay(20);
      return;
    case 'throws':
      throw new Error('the measurement has a fault');
    case 'is-damaged':
      throw codedError('damaged-picture', { format: 'JPEG', detail: 'bad marker' });
    case 'exits':
      process.exit(3);
      break;
    case 'exhausts-heap':
      exhaustHeap();
      break;
    case 'hangs':
      for (;;);
    case 'crashes':
      // What a fault in native code raises; `process.abort` is not allowed in a thread.
      process.kill(process.pid, 'SIGSEGV');
      await delay(10_000);
      break;
    case 'is-killed':
      process.kill(process.pid, 'SIGKILL');
      await delay(10_000);
  }
}

export const scriptedStep: MeasureStep = {
  version: scriptedVersion,
  async measure(bytes) {
    const script = JSON.parse(bytes.toString('utf8')) as Script;
    if (script.journal !== undefined) appendFileSync(script.journal, `${script.name}\n`);
    const before = script.onceMarker !== undefined && existsSync(script.onceMarker);
    if (script.onceMarker !== undefined) writeFileSync(script.onceMarker, '');
    if (!before) await act(script);
    const picture = { name: 'face.png', bytes: Buffer.from(`picture of ${script.name}`) };
    return { measurement: fakeMeasurement(bytes), evidence: [picture] };
  },
};

export default threadWork(scriptedStep);
