/** Records of runs and workers beside the queues, for whoever asks how far things are. Nothing here decides a result. */
import type { Redis } from 'ioredis';
import { z } from 'zod';
import { leftoverS } from './timing.ts';

export const runSchema = z.strictObject({
  run: z.string(),
  /** Shared paths. */
  delivery: z.string(),
  out: z.string(),
  host: z.string(),
  pid: z.number().int(),
  since: z.string(),
  version: z.string(),
  total: z.number().int(),
});
export type Run = z.infer<typeof runSchema>;

export interface RunState extends Run {
  readonly done: number;
  readonly lost: number;
  readonly stopped: boolean;
  /** Whether a submitter still follows it. */
  readonly followed: boolean;
}

export const workerSchema = z.strictObject({
  worker: z.string(),
  host: z.string(),
  pid: z.number().int(),
  since: z.string(),
  version: z.string(),
  threads: z.number().int(),
  measured: z.number().int(),
  lost: z.number().int(),
  /** Frames a minute over the last minute. */
  perMinute: z.number(),
});
export type WorkerState = z.infer<typeof workerSchema>;

const keys = {
  runs: (prefix: string) => `${prefix}:runs`,
  run: (prefix: string, run: string) => `${prefix}:run:${run}`,
  finished: (prefix: string, run: string) => `${prefix}:finished:${run}`,
  lease: (prefix: string, delivery: string) => `${prefix}:lease:${delivery}`,
  worker: (prefix: string, worker: string) => `${prefix}:worker:${worker}`,
  workers: (prefix: string) => `${prefix}:workers`,
};

function parseOrNull<T>(schema: z.ZodType<T>, text: string | null | undefined): T | null {
  if (text === null || text === undefined) return null;
  try {
    const parsed = schema.safeParse(JSON.parse(text));
    return parsed.success ? parsed.data : null;
  } catch {
    return null;
  }
}

export interface Runs {
  begin(run: Run): Promise<void>;
  /** Workers leave the rest of that run alone. */
  stop(run: string): Promise<void>;
  isStopped(run: string): Promise<boolean>;
  /** Adds frames that are finished; their paths wait until the submitter takes them. */
  report(run: string, paths: readonly string[], lost: number): Promise<void>;
  /** Paths of frames finished since the last call. */
  takeFinished(run: string): Promise<readonly string[]>;
  end(run: string): Promise<void>;
  list(): Promise<readonly RunState[]>;
  /** Holds the delivery for this run; the run that holds it otherwise. */
  holdDelivery(run: Run, leaseMs: number): Promise<Run | null>;
  /** Keeps the hold; false where it was lost. */
  renewHold(run: Run, leaseMs: number): Promise<boolean>;
  releaseDelivery(run: Run): Promise<void>;
  beat(worker: WorkerState, aliveMs: number): Promise<void>;
  leave(worker: string): Promise<void>;
  workers(): Promise<readonly WorkerState[]>;
}

/** Compare and set, compare and delete: a hold that passed to another run is not touched. */
const renewScript = `if redis.call('GET', KEYS[1]) == ARGV[1] then return redis.call('PEXPIRE', KEYS[1], ARGV[2]) end return 0`;
const releaseScript = `if redis.call('GET', KEYS[1]) == ARGV[1] then return redis.call('DEL', KEYS[1]) end return 0`;

/** Finished paths taken in one call. */
const batch = 1000;

export function openRuns(redis: Redis, prefix: string): Runs {
  const leaseOf = (run: Run): string => keys.lease(prefix, `${run.version}:${run.delivery}`);

  return {
    async begin(run) {
      await redis
        .multi()
        .hset(keys.run(prefix, run.run), { record: JSON.stringify(run), done: 0, lost: 0 })
        .expire(keys.run(prefix, run.run), leftoverS)
        .zadd(keys.runs(prefix), Date.parse(run.since), run.run)
        .exec();
    },
    async stop(run) {
      if ((await redis.exists(keys.run(prefix, run))) === 1)
        await redis.hset(keys.run(prefix, run), 'stopped', '1');
    },
    isStopped: async (run) => (await redis.hget(keys.run(prefix, run), 'stopped')) === '1',
    async report(run, paths, lost) {
      // A run that was ended has nobody who would take it.
      if ((await redis.exists(keys.run(prefix, run))) === 0) return;
      const multi = redis.multi().hincrby(keys.run(prefix, run), 'done', paths.length);
      if (lost > 0) multi.hincrby(keys.run(prefix, run), 'lost', lost);
      if (paths.length > 0) multi.rpush(keys.finished(prefix, run), ...paths);
      await multi
        .expire(keys.run(prefix, run), leftoverS)
        .expire(keys.finished(prefix, run), leftoverS)
        .exec();
    },
    async takeFinished(run) {
      const taken: string[] = [];
      for (;;) {
        const some = (await redis.lpop(keys.finished(prefix, run), batch)) ?? [];
        taken.push(...some);
        if (some.length < batch) return taken;
      }
    },
    async end(run) {
      await redis
        .multi()
        .del(keys.run(prefix, run), keys.finished(prefix, run))
        .zrem(keys.runs(prefix), run)
        .exec();
    },
    async list() {
      const states: RunState[] = [];
      for (const run of (await redis.zrange(keys.runs(prefix), '0', '-1')).map(String)) {
        const found = await redis.hgetall(keys.run(prefix, run));
        const record = parseOrNull(runSchema, found.record);
        if (record === null) {
          await redis.zrem(keys.runs(prefix), run);
          continue;
        }
        const holder = parseOrNull(runSchema, await redis.get(leaseOf(record)));
        states.push({
          ...record,
          done: Math.min(record.total, Number(found.done ?? 0)),
          lost: Number(found.lost ?? 0),
          stopped: found.stopped === '1',
          followed: holder?.run === run,
        });
      }
      return states;
    },
    async holdDelivery(run, leaseMs) {
      const taken = await redis.set(leaseOf(run), JSON.stringify(run), 'PX', leaseMs, 'NX');
      if (taken === 'OK') return null;
      return parseOrNull(runSchema, await redis.get(leaseOf(run)));
    },
    renewHold: async (run, leaseMs) =>
      (await redis.eval(renewScript, 1, leaseOf(run), JSON.stringify(run), String(leaseMs))) === 1,
    async releaseDelivery(run) {
      await redis.eval(releaseScript, 1, leaseOf(run), JSON.stringify(run));
    },
    async beat(worker, aliveMs) {
      await redis
        .multi()
        .set(keys.worker(prefix, worker.worker), JSON.stringify(worker), 'PX', aliveMs)
        .sadd(keys.workers(prefix), worker.worker)
        .exec();
    },
    async leave(worker) {
      await redis.multi().del(keys.worker(prefix, worker)).srem(keys.workers(prefix), worker).exec();
    },
    async workers() {
      const alive: WorkerState[] = [];
      for (const worker of await redis.smembers(keys.workers(prefix))) {
        const state = parseOrNull(workerSchema, await redis.get(keys.worker(prefix, worker)));
        if (state === null) await redis.srem(keys.workers(prefix), worker);
        else alive.push(state);
      }
      return alive.sort((a, b) => (a.worker < b.worker ? -1 : 1));
    },
  };
}
