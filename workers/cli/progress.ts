import { SingleBar } from 'cli-progress';
import type { Progress } from '../../pipeline/contracts/work.ts';
import { printable, say, type Terminal } from './terminal.ts';

/** Where nobody watches, a line now and then is enough for a log. */
const plainLineEveryMs = 15_000;

/** `90_000` → `2 min`; never more exact than anybody needs. */
export function roughDuration(ms: number): string {
  const seconds = ms / 1000;
  if (seconds < 90) return `${Math.max(1, Math.round(seconds))} s`;
  const minutes = Math.round(seconds / 60);
  return minutes < 90 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}

/**
 * Rate and time left. Frames known from an earlier run take no time and are left out of the rate.
 *
 * @returns `null` before anything was measured.
 */
export function pace(
  { done, total }: Progress,
  measured: number,
  elapsedMs: number,
): { readonly rate: string; readonly left: string } | null {
  if (measured === 0 || elapsedMs <= 0) return null;
  const perMs = measured / elapsedMs;
  const perMinute = perMs * 60_000;
  const rate = `${perMinute < 10 ? perMinute.toFixed(1) : Math.round(perMinute)} frames a minute`;
  return { rate, left: roughDuration((total - done) / perMs) };
}

export interface ProgressDisplay {
  update(progress: Progress): void;
  end(): void;
}

/** A bar on a terminal, plain lines elsewhere. */
export function showProgress({ err }: Terminal, nowMs: () => number): ProgressDisplay {
  const bar =
    err.isTTY === true
      ? new SingleBar({
          stream: err,
          format: 'Frames {bar} {value}/{total} {pace}',
          barCompleteChar: '#',
          barIncompleteChar: '.',
          barsize: 28,
          hideCursor: true,
          gracefulExit: false,
        })
      : null;
  const startedMs = nowMs();
  let measured = 0;
  let lastLineMs = startedMs;
  let started = false;

  function words(progress: Progress): string {
    const found = pace(progress, measured, nowMs() - startedMs);
    return found === null ? '' : `${found.rate}, about ${found.left} left`;
  }

  return {
    update(progress) {
      if (!progress.fromCache) measured += 1;
      const { done, total, frameId } = progress;
      if (bar !== null) {
        if (!started) bar.start(total, 0, { pace: '' });
        started = true;
        bar.update(done, { pace: printable(`${words(progress)} ${frameId}`).slice(0, 60) });
      } else if (nowMs() - lastLineMs >= plainLineEveryMs || done === total) {
        lastLineMs = nowMs();
        say(err, `${done} of ${total} frames${done === total ? '' : `, ${words(progress)}`}`);
      }
    },
    end() {
      if (started) bar?.stop();
    },
  };
}
