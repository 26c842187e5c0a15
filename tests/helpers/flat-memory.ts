/** Whether what a process holds stays the same over a long time. */
import { readdirSync, readFileSync } from 'node:fs';
import { median } from '../../pipeline/numeric/statistics.ts';

/** Growth from the middle third of the time to the last that counts as flat: garbage collection alone moves memory by this much. */
const flatShare = 0.1;

export function residentMb(pid: number): number {
  return Number(/VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1]) / 1024;
}

/** Files, sockets and pipes that a process has open. */
export const openHandles = (pid: number): number => readdirSync(`/proc/${pid}/fd`).length;

export function childOf(pid: number): number {
  return Number(readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8').trim().split(' ')[0]);
}

/** Prints the medians of each third of the time. @returns whether nothing grew. */
export function tellsFlat(samples: readonly Readonly<Record<string, number>>[], unit: string): boolean {
  const size = Math.ceil(samples.length / 3);
  const grown = Object.keys(samples[0] ?? {}).filter((name) => {
    const [first = 0, middle = 0, last = 0] = [0, 1, 2].map((third) =>
      median(samples.slice(third * size, (third + 1) * size).map((sample) => sample[name] ?? Number.NaN)),
    );
    const growth = last / middle - 1;
    const [a, b, c] = [first, middle, last].map((value) => value.toFixed(1));
    console.log(
      `${name}: median ${a}, ${b}, ${c} ${unit} in the three thirds (${(100 * growth).toFixed(1)} %)`,
    );
    return growth > flatShare;
  });
  return grown.length === 0;
}
