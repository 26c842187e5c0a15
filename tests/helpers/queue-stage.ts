/**
 * A small queue on this machine: a Redis, workers and submitters as processes of their own, on a folder that they share.
 * Scenarios disturb it; whatever they do, the result must be the one of a run that nobody disturbed.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { type RedisServer, startRedis } from './redis-server.ts';
import { comparable, type Ended, scriptedNightrail } from './run-nightrail.ts';
import { type Script, triesIn, writeScripted } from './scripts.ts';

export interface Process {
  readonly child: ChildProcess;
  readonly ended: Promise<Ended>;
}

export interface Stage {
  readonly shared: string;
  readonly journal: string;
  readonly redis: RedisServer;
  /** Starts a worker; resolves once it serves. */
  worker(node?: readonly string[]): Promise<Process>;
  submit(out?: string): Process;
  letGo(): void;
  /** Waits until so many different frames were begun. */
  untilBegun(frames: number): Promise<void>;
  /** `results.json` of a run on this machine's own threads, in an output folder of its own. */
  undisturbed(): Promise<string>;
  result(out?: string): string;
  /** Most tries that any frame had. */
  mostTries(): number;
  dispose(): Promise<void>;
}

export interface StageSettings {
  readonly frames: number;
  readonly frameMs: number;
  /** Frames wait until `letGo` is called. */
  readonly held?: boolean;
  /** A disk of this size for the shared folder, e.g. `6m`; root may mount it. */
  readonly diskSize?: string;
}

async function run(command: string, args: readonly string[]): Promise<number | null> {
  const child = spawn(command, args, { stdio: 'inherit' });
  return new Promise((resolve) => child.on('close', resolve));
}

export async function openStage({ frames, frameMs, held = false, diskSize }: StageSettings): Promise<Stage> {
  const base = mkdtempSync(join(tmpdir(), 'nightrail-stage-'));
  const shared = join(base, 'shared');
  mkdirSync(shared);
  if (
    diskSize !== undefined &&
    (await run('mount', ['-t', 'tmpfs', '-o', `size=${diskSize}`, 'tmpfs', shared])) !== 0
  )
    throw new Error('a small disk could not be mounted: run this scenario as root');
  const journal = join(base, 'journal');
  const go = join(base, 'go');
  const scripts: Script[] = Array.from({ length: frames }, (_, index) => ({
    name: `f${String(index).padStart(3, '0')}`,
    does: held ? 'waits' : 'sleeps',
    ms: frameMs,
    untilFile: go,
    journal,
  }));
  writeScripted(join(shared, 'shoot'), scripts);
  const redis = await startRedis({ durable: true });
  const started: ChildProcess[] = [];

  function start(args: readonly string[], node: readonly string[] = []): Process & { text: () => string } {
    const child = spawn(process.execPath, [...node, scriptedNightrail, ...args], {
      cwd: shared,
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    started.push(child);
    const text = { out: '', err: '' };
    child.stdout.on('data', (chunk) => {
      text.out += String(chunk);
    });
    child.stderr.on('data', (chunk) => {
      text.err += String(chunk);
    });
    const ended = new Promise<Ended>((resolve) => {
      child.on('close', (status, signal) => resolve({ status, signal, ...text }));
    });
    return { child, ended, text: () => text.err };
  }

  const queue = ['--redis', redis.url, '--root', shared];
  return {
    shared,
    journal,
    redis,
    async worker(node = []) {
      const process = start(['worker', ...queue, '--threads', '2'], node);
      while (!process.text().includes('Serving')) {
        if (process.child.exitCode !== null) throw new Error(`the worker did not start: ${process.text()}`);
        await delay(20);
      }
      return process;
    },
    submit: (out = 'out') =>
      start(['check', 'shoot', '--out', out, '--decisions', join(base, `${out}.csv`), ...queue]),
    letGo: () => writeFileSync(go, ''),
    async untilBegun(count) {
      while (!existsSync(journal) || Object.keys(triesIn(journal)).length < count) await delay(10);
    },
    async undisturbed() {
      const out = join(base, 'undisturbed');
      const args = ['check', 'shoot', '--out', out, '--decisions', `${out}.csv`];
      await start([...args, '--workers', '2']).ended;
      return comparable(out);
    },
    result: (out = 'out') => comparable(join(shared, out)),
    mostTries: () => Math.max(...Object.values(triesIn(journal))),
    async dispose() {
      for (const child of started) child.kill('SIGKILL');
      await redis.dispose();
      if (diskSize !== undefined) await run('umount', ['-l', shared]);
      rmSync(base, { recursive: true, force: true });
    },
  };
}
