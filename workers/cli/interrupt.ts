import { exitStatus } from './exit-status.ts';
import { say, type Terminal } from './terminal.ts';

const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

export interface Interruption {
  /** Aborted by the first request to stop. */
  readonly signal: AbortSignal;
  /** Gives the signals back to the system. */
  dispose(): void;
}

/** The first Ctrl-C (or SIGTERM, or a closed terminal) finishes the frames in hand; the second ends the process at once. */
export function listenForInterrupt({ err }: Terminal): Interruption {
  const stop = new AbortController();
  const hear = (): void => {
    if (stop.signal.aborted) process.exit(exitStatus.incomplete);
    stop.abort();
    say(
      err,
      '\nFinishing the frames in hand. Press Ctrl-C again to stop at once; nothing measured so far is lost.',
    );
  };
  for (const name of signals) process.on(name, hear);
  return {
    signal: stop.signal,
    dispose: () => {
      for (const name of signals) process.off(name, hear);
    },
  };
}
