import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { check } from './check.ts';
import { type ExitStatus, exitStatus } from './exit-status.ts';
import type { DemoOptions } from './program.ts';
import { say, type Terminal } from './terminal.ts';

const samples = fileURLToPath(new URL('../../samples/delivery', import.meta.url));

/** Checks the delivery that comes with Nightrail. Findings are what it is for: they do not make it fail. */
export async function demo({ out }: DemoOptions, terminal: Terminal): Promise<ExitStatus> {
  say(terminal.err, `Checking the sample delivery in ${samples}. Faults were planted in it on purpose.`);
  await check(
    {
      delivery: samples,
      out,
      decisions: join(out, 'decisions.csv'),
      workers: availableParallelism(),
      frameTimeoutS: 60,
      json: false,
      root: '/',
      keyPrefix: '',
      urgent: [],
    },
    terminal,
  );
  return exitStatus.pass;
}
