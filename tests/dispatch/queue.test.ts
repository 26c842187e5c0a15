import { readFileSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { Worker } from 'bullmq';
import { afterAll, beforeAll, expect, it, onTestFinished } from 'vitest';
import { parseRedisUrl, patient } from '../../workers/queue/connection.ts';
import type { FrameJob } from '../../workers/queue/jobs.ts';
import { maxLostWorkers } from '../../workers/queue/timing.ts';
import { type RedisServer, startRedis } from '../helpers/redis-server.ts';
import { scratchFolder } from '../helpers/scratch.ts';
import { quickTiming, type Script, writeScripted } from '../helpers/scripts.ts';
import { asScripted, type Measure, smallQueue } from '../helpers/small-queue.ts';

// What only the queue promises; what every dispatcher promises is in promise.test.ts.
let redis: RedisServer;
beforeAll(async () => {
  redis = await startRedis();
});
afterAll(() => redis.dispose());

function openQueue(timing = quickTiming) {
  const queue = smallQueue(redis.url, timing);
  onTestFinished(() => queue.close());
  return queue;
}

/** So many garments of ten frames that only note in the journal that they were measured. */
function garments(count: number, name: string, journal: string): Script[] {
  return Array.from({ length: 10 * count }, (_, index) => ({
    name: `${name}-${index}`,
    garment: `${name}-${Math.floor(index / 10)}`,
    does: 'measures',
    journal,
  }));
}

async function untilSubmitted(queue: ReturnType<typeof openQueue>, count: number): Promise<void> {
  while ((await queue.keys(/_open$/)).length < count) await delay(20);
}

const inOrder = (journal: string): readonly string[] => readFileSync(journal, 'utf8').trimEnd().split('\n');

it('measures an urgent garment before all others', async () => {
  const [root, queue] = [scratchFolder(), openQueue()];
  const journal = join(root, 'journal');
  const delivery = writeScripted(join(root, 'day'), garments(40, 'd', journal));
  const done = queue.submit(delivery, { urgent: ['d-39'] });
  await untilSubmitted(queue, 40);
  queue.work();
  await done;
  expect(inOrder(journal).slice(0, 10).sort()).toEqual(
    Array.from({ length: 10 }, (_, index) => `d-${390 + index}`),
  );
});

it('serves a small delivery beside a large one that came first', async () => {
  const [root, queue] = [scratchFolder(), openQueue()];
  const journal = join(root, 'journal');
  const large = queue.submit(writeScripted(join(root, 'large'), garments(60, 'large', journal)));
  await untilSubmitted(queue, 60);
  const small = queue.submit(writeScripted(join(root, 'small'), garments(4, 'small', journal)));
  await untilSubmitted(queue, 64);
  queue.work();
  await Promise.all([large, small]);
  const lastOfSmall = inOrder(journal).findLastIndex((name) => name.startsWith('small'));
  // Garment by garment side by side: 40 frames of each, and not after the 600 of the large one.
  expect(lastOfSmall).toBeLessThan(100);
});

it('leaves no job and no key of another prefix behind', async () => {
  const [root, queue] = [scratchFolder(), openQueue()];
  const strangers = await queue.keys(/./);
  queue.work();
  const delivery = writeScripted(join(root, 'day'), garments(3, 'd', join(root, 'journal')));
  await queue.submit(delivery);
  await queue.close();
  const left = (await queue.keys(/./)).filter((key) => !strangers.includes(key));
  expect(left.filter((key) => !key.startsWith(`${queue.names.prefix}:`))).toEqual([]);
  // What BullMQ keeps of an empty queue: settings, a short stream of events, counters and marks.
  expect(left.filter((key) => !/:(meta|events|id|pc|marker|stalled-check|completed)$/.test(key))).toEqual([]);
});

it('finds frames and store where each machine mounts the shared folder', async () => {
  const [root, queue] = [scratchFolder(), openQueue()];
  const elsewhere = join(scratchFolder(), 'mount');
  symlinkSync(root, elsewhere);
  const seen: string[] = [];
  const measure: Measure = (task) => {
    seen.push(task.path, task.cache);
    return asScripted(task);
  };
  queue.work({ measure, root: elsewhere });
  const delivery = writeScripted(join(root, 'day'), [{ name: 'a', does: 'measures' }]);
  expect(await queue.submit(delivery, { root })).toMatchObject([{ ok: true, frameId: 'dress/a.jpg' }]);
  expect(seen).toEqual([join(elsewhere, 'day/dress/a.jpg'), join(elsewhere, 'day-out/cache')]);
});

it('tries again what may pass, and not what will not', async () => {
  const [root, queue] = [scratchFolder(), openQueue()];
  const tries = { away: 0, damaged: 0 };
  const measure: Measure = (task) => {
    const name = task.path.includes('away') ? 'away' : 'damaged';
    tries[name] += 1;
    if (name === 'damaged' || tries.away > 3) return asScripted(task);
    const reason = 'the share does not answer';
    return Promise.resolve({ ok: false, frameId: task.frameId, fromCache: false, mayPass: true, reason });
  };
  queue.work({ measure });
  const frames: Script[] = [
    { name: 'away', does: 'measures' },
    { name: 'damaged', does: 'is-damaged' },
  ];
  const outcomes = await queue.submit(writeScripted(join(root, 'day'), frames));
  expect(outcomes.map(({ ok }) => ok)).toEqual([true, false]);
  expect(tries).toEqual({ away: 4, damaged: 1 });
});

it('parks a frame whose workers are lost again and again, with the reason', async () => {
  // Short holds of the workers that are lost, and quick looks for them.
  const [root, queue] = [scratchFolder(), openQueue({ ...quickTiming, stalledMs: 100 })];
  const frames: Script[] = ['first', 'poison'].map((name) => ({ name, does: 'measures' }));
  let begun: () => void = () => undefined;
  const firstBegun = new Promise<void>((resolve) => {
    begun = resolve;
  });
  let letGo: () => void = () => undefined;
  const released = new Promise<void>((resolve) => {
    letGo = resolve;
  });
  // The one worker that lives has a frame in hand, so the other one goes to those that are lost.
  const measured: string[] = [];
  queue.work({
    measure: async (task) => {
      measured.push(task.frameId);
      begun();
      await released;
      return asScripted(task);
    },
  });
  const outcomes = queue.submit(writeScripted(join(root, 'day'), frames));
  await firstBegun;
  const lost = new Worker<FrameJob>(queue.names.frames, undefined, {
    connection: patient(parseRedisUrl(redis.url)),
    prefix: queue.names.prefix,
    lockDuration: 100,
  });
  const taken: string[] = [];
  while (taken.length <= maxLostWorkers) {
    const job = await lost.getNextJob('lost', { block: false });
    if (job) taken.push(job.data.path);
    else await delay(20);
  }
  await lost.close(true);
  letGo();
  const parked = (await outcomes).find(({ ok }) => !ok);
  expect(new Set(taken).size).toBe(1);
  expect(measured).not.toContain(taken[0]);
  expect(parked).toMatchObject({ reason: expect.stringMatching(/^11 workers were lost/) });
  expect((await outcomes).filter(({ ok }) => ok).length).toBe(1);
});
