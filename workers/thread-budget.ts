/** Threads times threads, and the memory they work in: every knob of the measuring process, set here and nowhere else. */

/** Heap of one thread: pixels live outside it, so what fills it is objects. Node's own default on a 64-bit machine is 2 to 4 GiB. */
const heapPerThreadMb = 2048;

const mib = 2 ** 20;

/**
 * Tuning of glibc (its manual, "Memory Allocation Tunables"); other C libraries ignore it.
 *
 * Pages of 2 MiB instead of 4 KiB for large blocks (kernel documentation, "Transparent Hugepage Support": `madvise` is enough): a frame
 * touches hundreds of MB of fresh memory, and the tens of thousands of page faults cost more than half of its decoding.
 *
 * One arena for all threads: by default each of the picture library's gets one of its own, in which what it freed stays, 60 MiB to
 * 100 MiB a frame of 45 Mpx.
 *
 * Blocks of 8 MiB or more are mapped apart and given back when they are freed. By default that limit rises to 32 MiB, and what is freed
 * below it stays: V8 often reserves room for its code right behind the heap of the process, the arena then grows in scattered pieces, and
 * glibc gives back nothing but the end of the heap. A limit of one's own wants one for that end as well, or it moves with every network.
 */
const mallocTuning = [
  'glibc.malloc.hugetlb=1',
  'glibc.malloc.arena_max=1',
  `glibc.malloc.mmap_threshold=${8 * mib}`,
  `glibc.malloc.trim_threshold=${32 * mib}`,
];

/**
 * Each measuring thread keeps a core busy, so helpers of the garbage collector only take turns with it: alone it takes half the processor
 * time.
 *
 * V8 counts typed arrays towards the growth after which it collects, and allows a heap of 17 MiB some 15 MiB of it: every frame was worth
 * one or two collections besides the two that its own pixels cause (whatever this says, V8 collects after 64 MiB of typed arrays). Four
 * times the heap keeps those two.
 */
const flags = ['--single-threaded-gc', '--heap-growing-percent=300'];

export interface ThreadBudget {
  /** Frames measured at once, each by a thread with its own networks. */
  readonly threads: number;
  readonly heapPerThreadMb: number;
  /** Flags of Node for the process that measures. */
  readonly flags: readonly string[];
  /** Its environment; it must be set before that process starts. */
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
    flags,
    environment: {
      VIPS_CONCURRENCY: '1',
      UV_THREADPOOL_SIZE: String(threads + 4),
      // Whatever the caller has tuned stays; of two settings of one knob the later one holds.
      GLIBC_TUNABLES: [...mallocTuning, process.env.GLIBC_TUNABLES].filter(Boolean).join(':'),
    },
  };
}
