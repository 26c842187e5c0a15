/**
 * A small queue on this machine: a Redis, workers and submitters as processes of their own, on a folder that they share.
 * Scenarios disturb it; whatever they do, the result must be the one of a run that nobody disturbed.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { type RedisServer, startRedis } from './redis-server.ts';
import { type Ended, type Running, scriptedNightrail } from './run-nightrail.ts';
import { type FramesToLay, layDelivery, type StagedDelivery } from './staged-delivery.ts';

export interface Stage {
  /** The folder that all see; every process starts in it. */
  readonly shared: string;
  readonly redis: RedisServer;
  /** So many workers that serve: those that are left, and new ones for the others. */
  crew(count: number): Promise<readonly Running[]>;
  /** A delivery to submit; the one before is cleared away. */
  lay(frames: FramesToLay): StagedDelivery;
  /** From now on wall clocks are wrong by so much. */
  setClocks(shiftMs: number): void;
  dispose(): Promise<void>;
}

export interface StageSettings {
  /** A disk of this size for the shared folder, e.g. `6m`; root may mount it. */
  readonly diskSize?: string;
  /** Every process of the queue goes by the clock that `setClocks` sets. */
  readonly jumpingClocks?: boolean;
}

async function run(command: string, args: readonly string[]): Promise<number | null> {
  const child = spawn(command, args, { stdio: 'inherit' });
  return new Promise((resolve) => child.on('close', resolve));
}

export async function openStage({ diskSize, jumpingClocks = false }: StageSettings = {}): Promise<Stage> {
  const base = mkdtempSync(join(tmpdir(), 'nightrail-stage-'));
  const shared = join(base, 'shared');
  mkdirSync(shared);
  if (
    diskSize !== undefined &&
    (await run('mount', ['-t', 'tmpfs', '-o', `size=${diskSize}`, 'tmpfs', shared])) !== 0
  )
    throw new Error('a small disk could not be mounted: run this scenario as root');
  const redis = await startRedis({ durable: true });
  const clock = join(base, 'clock');
  const node = jumpingClocks ? ['--import', new URL('./jumping-clock.mjs', import.meta.url).href] : [];
  const started: ChildProcess[] = [];
  const workers: Running[] = [];

  function start(args: readonly string[]): Running {
    const text = { out: '', err: '' };
    const child = spawn(process.execPath, [...node, scriptedNightrail, ...args], {
      cwd: shared,
      env: { ...process.env, CLOCK_SHIFT_FILE: clock },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    started.push(child);
    child.stdout.on('data', (chunk) => {
      text.out += String(chunk);
    });
    child.stderr.on('data', (chunk) => {
      text.err += String(chunk);
    });
    const ended = new Promise<Ended>((resolve) => {
      child.on('close', (status, signal) => resolve({ status, signal, ...text }));
    });
    return { child, text, ended };
  }

  const queue = ['--redis', redis.url, '--root', shared];

  async function startWorker(): Promise<Running> {
    const worker = start(['worker', ...queue, '--threads', '2']);
    while (!worker.text.err.includes('Serving')) {
      if (worker.child.exitCode !== null) throw new Error(`the worker did not start: ${worker.text.err}`);
      await delay(20);
    }
    return worker;
  }

  return {
    shared,
    redis,
    async crew(count) {
      const left = workers.filter(({ child }) => !child.killed && child.exitCode === null);
      const missing = Math.max(0, count - left.length);
      left.push(...(await Promise.all(Array.from({ length: missing }, startWorker))));
      workers.splice(0, workers.length, ...left);
      return left;
    },
    lay: (frames) => layDelivery(base, frames, { start, queue }),
    setClocks: (shiftMs) => writeFileSync(clock, String(Math.round(shiftMs))),
    async dispose() {
      for (const child of started) child.kill('SIGKILL');
      await redis.dispose();
      if (diskSize !== undefined) await run('umount', ['-l', shared]);
      rmSync(base, { recursive: true, force: true });
    },
  };
}
