import { type ChildProcess, spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { onTestFinished } from 'vitest';
import type { Results } from '../../pipeline/contracts/results.ts';

/** The command with threads that do what each frame's script says. */
export const scriptedNightrail = fileURLToPath(new URL('./scripted-nightrail.js', import.meta.url));

export interface Ended {
  readonly status: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly out: string;
  readonly err: string;
}

export interface Running {
  readonly child: ChildProcess;
  /** What it has said so far. */
  readonly text: Readonly<Record<'out' | 'err', string>>;
  readonly ended: Promise<Ended>;
}

/** Starts a program of this test's own; what is left of it when the test is over is ended. */
export function start(command: string, args: readonly string[], cwd: string): Running {
  const child = spawn(command, args, { cwd, stdio: ['ignore', 'pipe', 'pipe'] });
  const text = { out: '', err: '' };
  child.stdout.setEncoding('utf8').on('data', (chunk: string) => {
    text.out += chunk;
  });
  child.stderr.setEncoding('utf8').on('data', (chunk: string) => {
    text.err += chunk;
  });
  const ended = new Promise<Ended>((resolve) => {
    child.on('close', (status, signal) => resolve({ status, signal, ...text }));
  });
  onTestFinished(() => {
    child.kill('SIGKILL');
  });
  return { child, text, ended };
}

export function startScripted(cwd: string, args: readonly string[]): Running {
  return start(process.execPath, [scriptedNightrail, ...args], cwd);
}

/** `results.json` without the one part that differs between equal runs. */
export function comparable(out: string): string {
  const { run: _, ...rest } = JSON.parse(readFileSync(join(out, 'results.json'), 'utf8')) as Results;
  return JSON.stringify(rest);
}
