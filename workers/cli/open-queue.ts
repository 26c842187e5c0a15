import type { Logger } from 'pino';
import type { Dispatcher } from '../../pipeline/contracts/work.ts';
import { codedError } from '../../pipeline/errors.ts';
import { parseRedisUrl } from '../queue/connection.ts';
import { createQueueDispatcher } from '../queue/dispatcher.ts';
import { openSharedFolder } from '../queue/shared-folder.ts';
import type { QueueTiming } from '../queue/timing.ts';

export interface OpenQueueOptions {
  readonly redis: string;
  readonly root: string;
  readonly keyPrefix: string;
  readonly urgent: readonly string[];
  /** All garments of the delivery. */
  readonly garments: readonly string[];
  readonly cache: string;
  readonly version: string;
  readonly timing: QueueTiming;
  readonly log: Logger;
  notify(sentence: string): void;
}

/** @throws CodedError of kind `usage` where an option is wrong. */
export async function openQueue(options: OpenQueueOptions): Promise<Dispatcher> {
  const { redis, root, keyPrefix, urgent, garments } = options;
  const unknown = urgent.find((garment) => !garments.includes(garment));
  if (unknown !== undefined) throw codedError('urgent-unknown', { garment: unknown, known: garments });
  const folder = await openSharedFolder(root);
  const { cache, version, timing, log, notify } = options;
  folder.toShared(cache);
  return createQueueDispatcher({
    address: parseRedisUrl(redis),
    prefix: keyPrefix,
    version,
    cache,
    folder,
    timing,
    urgent: new Set(urgent),
    log,
    notify,
  });
}
