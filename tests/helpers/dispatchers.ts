import pino from 'pino';
import type { Dispatcher } from '../../pipeline/contracts/work.ts';
import { createPoolDispatcher } from '../../workers/pool/dispatcher.ts';
import { createFramePool, type FramePoolOptions } from '../../workers/pool/frame-pool.ts';
import { parseRedisUrl } from '../../workers/queue/connection.ts';
import { createQueueDispatcher } from '../../workers/queue/dispatcher.ts';
import { serve } from '../../workers/queue/serve.ts';
import { sharedFolder } from '../../workers/queue/shared-folder.ts';
import { type RedisServer, startRedis } from './redis-server.ts';
import { quickTiming, scriptedVersion } from './scripts.ts';

export interface DispatcherSetting {
  readonly cache: string;
  readonly threads?: number;
  readonly frameTimeoutMs?: number;
  /** Module of the threads' work. */
  readonly work?: string;
}

const heapPerThreadMb = 160;
const scriptedWork = new URL('./scripted-work.ts', import.meta.url).href;

function poolOptions(setting: DispatcherSetting): FramePoolOptions {
  return {
    budget: { threads: setting.threads ?? 2, heapPerThreadMb, flags: [], environment: {} },
    frameTimeoutMs: setting.frameTimeoutMs ?? 30_000,
    log: pino({ level: 'silent' }),
    work: setting.work ?? scriptedWork,
  };
}

/** A pool whose threads do what each frame's script says. */
export function scriptedPool(setting: DispatcherSetting): Dispatcher {
  return createPoolDispatcher({ cache: setting.cache, version: scriptedVersion, ...poolOptions(setting) });
}

let redis: RedisServer | undefined;

/** A submitter and one worker of the queue, both in this process, on a Redis of the suite's own. */
export function scriptedQueue(setting: DispatcherSetting): Dispatcher {
  if (redis === undefined) throw new Error('the queue adapter was not prepared');
  const address = parseRedisUrl(redis.url);
  const shared = {
    address,
    prefix: `test-${crypto.randomUUID()}`,
    version: scriptedVersion,
    timing: quickTiming,
  };
  const log = pino({ level: 'silent' });
  const folder = sharedFolder('/');
  const pool = createFramePool(poolOptions(setting));
  const serving = serve({
    ...shared,
    folder,
    threads: setting.threads ?? 2,
    log,
    measure: (task) => pool.measure(task),
    unfit: () => undefined,
  });
  const dispatcher = createQueueDispatcher({
    ...shared,
    cache: setting.cache,
    folder,
    urgent: new Set(),
    log,
    notify: () => undefined,
  });
  return {
    ...dispatcher,
    async close() {
      await dispatcher.close();
      await serving.drain();
      await pool.close();
    },
  };
}

interface Adapter {
  readonly name: string;
  open(setting: DispatcherSetting): Dispatcher;
  prepare(): Promise<void>;
  dispose(): Promise<void>;
}

/** Every adapter of the dispatch port: one suite runs against them all. */
export const adapters: readonly Adapter[] = [
  { name: 'pool', open: scriptedPool, prepare: async () => undefined, dispose: async () => undefined },
  {
    name: 'queue',
    open: scriptedQueue,
    prepare: async () => {
      redis = await startRedis();
    },
    dispose: async () => {
      await redis?.dispose();
      redis = undefined;
    },
  },
];
