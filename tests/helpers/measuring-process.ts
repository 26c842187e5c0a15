import { execFileSync } from 'node:child_process';

/** The id of the process that holds the measuring threads of that command; `null` where it has none (yet). */
export function measuringProcess(command: number): number | null {
  // Not `ps --ppid`: it ends with status 1 where there is no child.
  const processes = execFileSync('ps', ['-eo', 'pid=,ppid=,args='], { encoding: 'utf8' });
  for (const line of processes.split('\n')) {
    const [pid, parent] = line.trim().split(/\s+/).map(Number);
    if (parent === command && line.includes('pool/host.js')) return pid ?? null;
  }
  return null;
}
