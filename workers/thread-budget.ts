/** Threads times threads: every knob that decides how many run at once, set here and nowhere else. */

/** Heap of one thread: pixels live outside it, so what fills it is objects. Node's own default on a 64-bit machine is 2 to 4 GiB. */
const heapPerThreadMb = 2048;

export interface ThreadBudget {
  /** Frames measured at once, each by a thread with its own networks. */
  readonly threads: number;
  readonly heapPerThreadMb: number;
  /** Environment of the process that measures; it must be set before that process starts. */
  readonly environment: Readonly<Record<string, string>>;
}

/**
 * One frame keeps one core busy, so a picture library's own threads would only contend: libvips gets one thread a picture,
 * and libuv one slot a frame for it plus Node's default of four for files. The networks run single-threaded inside their
 * session (set where sessions are made): a sum split over threads would round differently from run to run.
 */
export function threadBudget(threads: number): ThreadBudget {
  return {
    threads,
    heapPerThreadMb,
    environment: { VIPS_CONCURRENCY: '1', UV_THREADPOOL_SIZE: String(threads + 4) },
  };
}
