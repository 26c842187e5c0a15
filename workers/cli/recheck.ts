/** Retouched files, measured again and compared with what was found before. */
import { join } from 'node:path';
import type { Delivery } from '../../pipeline/contracts/delivery.ts';
import type { FrameOutcome } from '../../pipeline/contracts/work.ts';
import { codedError } from '../../pipeline/errors.ts';
import { measurementVersion } from '../../pipeline/measure/version.ts';
import { loadProfile } from '../../pipeline/profile/load-profile.ts';
import { readResults } from '../../pipeline/tasks/read-results.ts';
import {
  compareRetouched,
  findRetouched,
  placesLeftAlone,
  storedMeasurements,
} from '../../pipeline/tasks/recheck.ts';
import { recheckSentences, writeRecheck } from '../../pipeline/tasks/recheck-list.ts';
import { createPoolDispatcher } from '../pool/dispatcher.ts';
import { threadBudget } from '../thread-budget.ts';
import type { Measuring } from './check.ts';
import { type ExitStatus, exitStatus } from './exit-status.ts';
import { listenForInterrupt } from './interrupt.ts';
import { openLog } from './log.ts';
import { takeOutputFolder } from './output-folder.ts';
import { showProgress } from './progress.ts';
import { say, type Terminal } from './terminal.ts';

export interface RecheckOptions {
  /** Folder of retouched files. */
  readonly retouched: string;
  /** Output folder of the check they come from. */
  readonly report: string;
  readonly profile?: string | undefined;
  readonly workers: number;
}

/** Longest time for one frame: the same as a check's default. */
const frameTimeoutMs = 60_000;

async function measure(
  delivery: Delivery,
  report: string,
  { workers }: RecheckOptions,
  terminal: Terminal,
  measuring: Measuring,
): Promise<readonly FrameOutcome[]> {
  const interruption = listenForInterrupt(terminal);
  const display = showProgress(terminal, () => performance.now());
  const dispatcher = createPoolDispatcher({
    cache: join(report, 'cache'),
    budget: threadBudget(workers),
    frameTimeoutMs,
    log: openLog(report, process.env.NIGHTRAIL_LOG),
    ...measuring,
  });
  try {
    return await dispatcher.measure(delivery, (progress) => display.update(progress), interruption.signal);
  } finally {
    display.end();
    await dispatcher.close();
    interruption.dispose();
  }
}

/** @returns 0 where everything is cleared and nothing is new. */
export async function recheck(
  options: RecheckOptions,
  terminal: Terminal,
  measuring: Measuring = { version: measurementVersion() },
): Promise<ExitStatus> {
  const results = await readResults(options.report);
  const profile = await loadProfile(options.profile ?? null);
  if (profile.hash !== results.profile.hash)
    throw codedError('other-profile', { name: results.profile.name });
  const retouched = await findRetouched(options.retouched, results);
  const folder = await takeOutputFolder(options.retouched, options.report);
  try {
    for (const remark of retouched.delivery.remarks) say(terminal.err, `Note: ${remark}`);
    const measured = await measure(retouched.delivery, folder.path, options, terminal, measuring);
    const { path: report, cache } = folder;
    const { version } = measuring;
    const now = await storedMeasurements(measured, cache, version);
    const leftAlone = await placesLeftAlone(results, now, { report, cache, version });
    const frames = compareRetouched(results, retouched, now, profile, leftAlone);
    await writeRecheck(folder.path, frames);
    for (const sentence of recheckSentences(frames)) say(terminal.out, sentence);
    say(terminal.out, `The list: ${join(options.report, 'recheck.csv')}`);
    const open = frames.some(
      ({ findings, remark }) => remark !== null || findings.some(({ outcome }) => outcome !== 'cleared'),
    );
    return open ? exitStatus.findings : exitStatus.pass;
  } finally {
    folder.release();
  }
}
