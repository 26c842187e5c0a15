import { defaultPattern } from '../../pipeline/report/package-names.ts';
import { packageFrames } from '../../pipeline/tasks/package-frames.ts';
import { readResults } from '../../pipeline/tasks/read-results.ts';
import { type ExitStatus, exitStatus } from './exit-status.ts';
import { listenForInterrupt } from './interrupt.ts';
import { showProgress } from './progress.ts';
import { say, type Terminal } from './terminal.ts';

export interface PackageCommandOptions {
  readonly delivery: string;
  /** Output folder of the check. */
  readonly report: string;
  readonly to: string;
  readonly name?: string | undefined;
  readonly longEdge?: number | undefined;
}

/** Copies what passes under the store's names. */
export async function packageDelivery(
  { delivery, report, to, name, longEdge }: PackageCommandOptions,
  terminal: Terminal,
): Promise<ExitStatus> {
  const results = await readResults(report);
  const interruption = listenForInterrupt(terminal);
  const display = showProgress(terminal, () => performance.now());
  try {
    const { files, left } = await packageFrames({
      results,
      delivery,
      to,
      pattern: name ?? defaultPattern,
      ...(longEdge === undefined ? {} : { longEdgePx: longEdge }),
      onProgress: (done, total, frameId) => display.update({ done, total, frameId, fromCache: false }),
      signal: interruption.signal,
    });
    display.end();
    for (const sentence of left) say(terminal.err, sentence);
    say(
      terminal.out,
      `${files} ${files === 1 ? 'frame' : 'frames'} packaged in ${to}, with manifest.csv and sha256sums.txt.`,
    );
    return left.length === 0 ? exitStatus.pass : exitStatus.findings;
  } finally {
    display.end();
    interruption.dispose();
  }
}
