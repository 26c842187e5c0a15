import { type ChildProcess, fork } from 'node:child_process';
import { createInterface } from 'node:readline';
import { Readable } from 'node:stream';
import type { Logger } from 'pino';
import { entries } from '../entries.ts';
import type { ThreadBudget } from '../thread-budget.ts';
import { begunPipe, type FromHost, fromHostSchema, type ToHost } from './messages.ts';

/** A host without work ends at once; one in the middle of a frame does not notice, and nothing it writes is ever half there. */
const closeGraceMs = 3000;

/** The process that holds the measuring threads, seen from outside. */
export interface HostProcess {
  send(message: ToHost): void;
  kill(): void;
  close(): Promise<void>;
}

export interface HostListener {
  /** A thread has begun the frame of that ticket. */
  begun(ticket: number): void;
  message(message: FromHost): void;
  /** It is gone; `how` is a signal name or an exit status in words. */
  ended(how: string): void;
}

function logLines(child: ChildProcess, log: Logger): void {
  for (const stream of [child.stdout, child.stderr])
    if (stream !== null)
      createInterface({ input: stream }).on('line', (line) => log.warn({ line }, 'measuring process'));
}

export function startHost(
  open: Omit<Extract<ToHost, { kind: 'open' }>, 'kind'>,
  budget: ThreadBudget,
  listener: HostListener,
  log: Logger,
): HostProcess {
  const child = fork(entries.poolHost, [], {
    execArgv: [...budget.flags],
    env: { ...process.env, ...budget.environment },
    stdio: ['ignore', 'pipe', 'pipe', 'ipc', 'pipe'],
  });
  const kill = (): void => {
    child.kill('SIGKILL');
  };
  // Whatever ends the command, its measuring process does not outlive it.
  process.once('exit', kill);
  let gone = false;
  const end = (how: string): void => {
    if (gone) return;
    gone = true;
    process.off('exit', kill);
    listener.ended(how);
  };
  logLines(child, log);
  const begun = child.stdio[begunPipe];
  if (begun instanceof Readable)
    createInterface({ input: begun }).on('line', (ticket) => listener.begun(Number(ticket)));
  child.on('message', (message: unknown) => listener.message(fromHostSchema.parse(message)));
  child.on('error', (error) => {
    log.error({ error }, 'measuring process could not be started or reached');
    kill();
    // A process that never started does not report an exit.
    if (child.pid === undefined) end(error.message);
  });
  // 'close' and not 'exit': what the threads wrote last is read before the end is told.
  child.on('close', (code, signal) => end(signal ?? `exit status ${code}`));

  const send = (message: ToHost): void => {
    // A failed send means that the process is ending: 'exit' follows and says what becomes of the frame.
    child.send(message, (error) => error && log.debug({ error }, 'message not delivered'));
  };
  send({ kind: 'open', ...open });
  return {
    send,
    kill,
    close: () =>
      new Promise((resolve) => {
        if (gone) return resolve();
        const timer = setTimeout(kill, closeGraceMs);
        child.once('close', () => {
          clearTimeout(timer);
          resolve();
        });
        // Not `disconnect`: after it Node never says 'close'.
        send({ kind: 'close' });
      }),
  };
}
