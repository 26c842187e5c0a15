/**
 * One run at a time on an output folder. Each run puts down a file of its own name and then looks at all of them: of two
 * that start together at least one sees the other, whatever the order, and files of runs that are over can be deleted
 * without a race because no two runs share a name.
 */
import { readFileSync, readlinkSync, rmSync } from 'node:fs';
import { readdir, readFile, rm } from 'node:fs/promises';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { z } from 'zod';
import { codedError } from '../pipeline/errors.ts';
import { writeFileAtomic } from '../pipeline/store/atomic-write.ts';
import { isRunning } from './running.ts';

const lockName = /^\.nightrail-lock-[0-9a-f-]{36}\.json$/;
/** Two runs that start in the same moment both step back; after a wait of random length one of them is first. */
const attempts = 5;
/** A run that has held its lock for longer than this is not one that steps back. */
const startingMs = 2000;
const longestWaitMs = 400;

const holderSchema = z.strictObject({
  pid: z.number().int(),
  host: z.string(),
  since: z.string(),
  /** Changes with every boot; `null` where the system does not say. */
  boot: z.string().nullable(),
  /** Namespace of process numbers: two containers can be one host with two process 17. */
  processes: z.string().nullable(),
  /** Clock ticks after boot at which the process started: tells it from a later one with the same number. */
  startedTicks: z.string().nullable(),
});
type Holder = z.infer<typeof holderSchema>;

function orNull(read: () => string): string | null {
  try {
    return read();
  } catch {
    return null;
  }
}

function startedTicks(pid: number): string | null {
  // proc(5): starttime is field 22; the name in field 2 may hold spaces and brackets, so count after its last bracket.
  return orNull(() => readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ').at(-1)?.split(' ')[19] ?? '');
}

function self(): Holder {
  return {
    pid: process.pid,
    host: hostname(),
    since: new Date().toISOString(),
    boot: orNull(() => readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim()),
    processes: orNull(() => readlinkSync('/proc/self/ns/pid')),
    startedTicks: startedTicks(process.pid),
  };
}

/** Whether the holder's run is surely over. On another machine nobody can tell. */
function isOver(holder: Holder, me: Holder): boolean {
  if (holder.host !== me.host || holder.processes !== me.processes) return false;
  if (holder.boot !== me.boot || !isRunning(holder.pid)) return true;
  return holder.startedTicks !== null && holder.startedTicks !== startedTicks(holder.pid);
}

async function others(out: string, mine: string): Promise<{ path: string; holder: Holder | null }[]> {
  const names = (await readdir(out)).filter((name) => lockName.test(name) && join(out, name) !== mine);
  return Promise.all(
    names.map(async (name) => {
      const path = join(out, name);
      const text = await readFile(path, 'utf8').catch(() => '');
      const parsed = holderSchema.safeParse(orNull(() => JSON.parse(text)));
      return { path, holder: parsed.success ? parsed.data : null };
    }),
  );
}

/** The first other run that may still be going; files of runs that are over, or that say nothing, are deleted. */
async function rival(
  out: string,
  mine: string,
  me: Holder,
): Promise<{ path: string; holder: Holder } | null> {
  for (const { path, holder } of await others(out, mine)) {
    if (holder !== null && !isOver(holder, me)) return { path, holder };
    await rm(path, { force: true });
  }
  return null;
}

/**
 * Takes the output folder for this process. Released by the returned function, or when the process ends by itself.
 *
 * @throws CodedError `out-in-use` where another run has it.
 */
export async function lockOutput(out: string): Promise<() => void> {
  const me = self();
  for (let attempt = 1; ; attempt += 1) {
    const mine = join(out, `.nightrail-lock-${crypto.randomUUID()}.json`);
    const release = (): void => {
      process.off('exit', release);
      rmSync(mine, { force: true });
    };
    process.once('exit', release);
    await writeFileAtomic(mine, `${JSON.stringify(me)}\n`);
    const found = await rival(out, mine, me);
    if (found === null) return release;
    release();
    const { pid, host, since } = found.holder;
    if (attempt === attempts || Date.now() - Date.parse(since) > startingMs) {
      throw codedError('out-in-use', { pid, host, since, lock: found.path });
    }
    await delay(Math.random() * longestWaitMs);
  }
}
