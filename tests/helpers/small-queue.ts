/** Submitters and workers of the queue in this process, each with a prefix and a mount of the test's own. */
import { join } from 'node:path';
import { Redis } from 'ioredis';
import pino from 'pino';
import type { Delivery } from '../../pipeline/contracts/delivery.ts';
import type { FrameOutcome, FrameTask } from '../../pipeline/contracts/work.ts';
import { measureFrameBy } from '../../pipeline/tasks/measure-frame.ts';
import { parseRedisUrl } from '../../workers/queue/connection.ts';
import { createQueueDispatcher } from '../../workers/queue/dispatcher.ts';
import { queueNames } from '../../workers/queue/names.ts';
import { serve } from '../../workers/queue/serve.ts';
import { sharedFolder } from '../../workers/queue/shared-folder.ts';
import type { QueueTiming } from '../../workers/queue/timing.ts';
import { scriptedStep } from './scripted-work.ts';
import { quickTiming, scriptedVersion } from './scripts.ts';

export type Measure = (task: FrameTask) => Promise<FrameOutcome | null>;

/** Does what the frame's script says, on this thread. */
export const asScripted: Measure = (task) => measureFrameBy(scriptedStep, task);

export function smallQueue(redisUrl: string, timing: QueueTiming = quickTiming) {
  const address = parseRedisUrl(redisUrl);
  const prefix = `test-${crypto.randomUUID()}`;
  const names = queueNames(prefix, scriptedVersion);
  const log = pino({ level: 'silent' });
  const common = { address, prefix, version: scriptedVersion, timing, log };
  const closers: (() => Promise<unknown>)[] = [];

  return {
    names,
    /** @param cache folder of the store; beside the delivery by default. */
    submit(delivery: Delivery, { root = '/', urgent = [] as readonly string[] } = {}) {
      const dispatcher = createQueueDispatcher({
        ...common,
        cache: join(delivery.root, '..', `${delivery.root.split('/').at(-1)}-out`, 'cache'),
        folder: sharedFolder(root),
        urgent: new Set(urgent),
        notify: () => undefined,
      });
      closers.push(() => dispatcher.close());
      return dispatcher.measure(delivery, () => undefined, new AbortController().signal);
    },
    work({ measure = asScripted, threads = 1, root = '/' } = {}): void {
      const folder = sharedFolder(root);
      const serving = serve({ ...common, folder, threads, measure, unfit: () => undefined });
      closers.unshift(() => serving.drain());
    },
    /** Keys in Redis whose name matches. */
    async keys(pattern: RegExp): Promise<readonly string[]> {
      const redis = new Redis(address.options);
      const keys = await redis.keys('*');
      redis.disconnect();
      return keys.filter((key) => pattern.test(key));
    },
    async close(): Promise<void> {
      for (const close of closers) await close();
    },
  };
}
