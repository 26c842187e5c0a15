import { runAccuracy } from '../../pipeline/accuracy/run-accuracy.ts';
import { type ExitStatus, exitStatus } from './exit-status.ts';
import { listenForInterrupt } from './interrupt.ts';
import type { AccuracyOptions } from './program.ts';
import { showProgress } from './progress.ts';
import type { Terminal } from './terminal.ts';

/** Prints how well the measurements agree with a person's labels. */
export async function accuracy(
  { photos, labels, boxes, out, halves }: AccuracyOptions,
  terminal: Terminal,
): Promise<ExitStatus> {
  const interruption = listenForInterrupt(terminal);
  const display = showProgress(terminal, () => performance.now());
  try {
    const text = await runAccuracy({
      photos,
      labels,
      ...(boxes === undefined ? {} : { boxes }),
      ...(out === undefined ? {} : { out }),
      ...(halves === undefined ? {} : { halves }),
      onProgress: (done, total, file) => display.update({ done, total, frameId: file, fromCache: false }),
      signal: interruption.signal,
    });
    display.end();
    terminal.out.write(`${text}\n`);
    return exitStatus.pass;
  } finally {
    display.end();
    interruption.dispose();
  }
}
