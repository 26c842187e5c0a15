import { readResults } from '../../pipeline/tasks/read-results.ts';
import { writePreviews } from '../../pipeline/tasks/write-previews.ts';
import { type ExitStatus, exitStatus } from './exit-status.ts';
import { say, type Terminal } from './terminal.ts';

export interface PreviewOptions {
  /** Output folder of a check. */
  readonly report: string;
  readonly gif: boolean;
}

/** Makes the moving previews of a checked delivery. */
export async function preview({ report, gif }: PreviewOptions, terminal: Terminal): Promise<ExitStatus> {
  const { written, left } = await writePreviews(report, await readResults(report), gif);
  for (const sentence of left) say(terminal.err, sentence);
  say(
    terminal.out,
    `${written.length} ${written.length === 1 ? 'preview' : 'previews'} written into ${report}/previews.`,
  );
  return exitStatus.pass;
}
