/**
 * Which files of a watched folder are complete now. Nothing tells when a copy ends, so a file counts as complete once its stamp
 * has stood for a moment, or once it ends as a picture does; whether it really ends there, measuring finds out, and a file that is
 * written to again comes again.
 */

interface Watched {
  stamp: string;
  /** When this stamp was first seen. */
  sinceMs: number;
  complete: boolean;
  /** When it was first missed; a share that goes away may lose files before the folder itself. */
  missingSinceMs: number | null;
}

export interface Settled {
  /** Files whose present stamp has stood long enough, each told once. */
  readonly complete: readonly string[];
  /** Files that have been missing as long, each told once. */
  readonly gone: readonly string[];
}

export interface Settling {
  /**
   * @param stamps every file of the folder to its stamp; `null` is a file that is gone again.
   * @param nowMs of a clock that only goes forward.
   * @param settleMs how long a stamp must have stood.
   * @param whole files whose end says that nothing more is to come: they need not stand.
   */
  look(
    stamps: ReadonlyMap<string, string | null>,
    nowMs: number,
    settleMs: number,
    whole?: ReadonlySet<string>,
  ): Settled;
  /** Whether some file is still being waited for. */
  isWaiting(): boolean;
  /** How long the file has stood unchanged, ms. */
  stoodMs(file: string, nowMs: number): number;
}

export function createSettling(): Settling {
  const files = new Map<string, Watched>();

  function isCompleteNow(file: string, stamp: string, nowMs: number, mustStandMs: number): boolean {
    let watched = files.get(file);
    if (watched?.stamp !== stamp) {
      watched = { stamp, sinceMs: nowMs, complete: false, missingSinceMs: null };
      files.set(file, watched);
    }
    watched.missingSinceMs = null;
    if (watched.complete || nowMs - watched.sinceMs < mustStandMs) return false;
    watched.complete = true;
    return true;
  }

  function isGoneNow(file: string, watched: Watched, nowMs: number, settleMs: number): boolean {
    watched.missingSinceMs ??= nowMs;
    return nowMs - watched.missingSinceMs >= settleMs && files.delete(file);
  }

  return {
    look(stamps, nowMs, settleMs, whole) {
      const complete = [...stamps].flatMap(([file, stamp]) =>
        stamp !== null && isCompleteNow(file, stamp, nowMs, whole?.has(file) ? 0 : settleMs) ? [file] : [],
      );
      const missing = [...files].filter(([file]) => (stamps.get(file) ?? null) === null);
      const gone = missing.filter(([file, watched]) => isGoneNow(file, watched, nowMs, settleMs));
      return { complete, gone: gone.map(([file]) => file) };
    },
    isWaiting: () =>
      [...files.values()].some(({ complete, missingSinceMs }) => !complete || missingSinceMs !== null),
    stoodMs: (file, nowMs) => nowMs - (files.get(file)?.sinceMs ?? nowMs),
  };
}
