import { writeFileSync } from 'node:fs';

/** Share of memory, in thousandths, by which the kernel takes this process for larger than it is (proc(5), oom_score_adj). */
const handicap = 500;

/** Where memory runs out, the kernel should end the process that measures, which is started again, and not the command. */
export function preferForKilling(): void {
  if (process.platform !== 'linux') return;
  try {
    writeFileSync('/proc/self/oom_score_adj', String(handicap));
  } catch {
    // A container may not allow it: then the kernel chooses by size, which most likely is this process too.
  }
}
