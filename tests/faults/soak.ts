/**
 * One long delivery while workers and Redis are killed at random moments: `npm run soak -- [minutes] [seed]`, by default 30.
 * Nothing may be lost and memory must stay flat; ends with status 1 where either is not so. One worker is spared, so that
 * there is one whose memory can be followed from the beginning to the end.
 */
import { setTimeout as delay } from 'node:timers/promises';
import { Redis } from 'ioredis';
import { parseRedisUrl, patient } from '../../workers/queue/connection.ts';
import { maxLostWorkers } from '../../workers/queue/timing.ts';
import { childOf, residentMb, tellsFlat } from '../helpers/flat-memory.ts';
import { differenceOf } from '../helpers/queue-scenarios.ts';
import { openStage, type Stage } from '../helpers/queue-stage.ts';
import { seededRandom } from '../helpers/random.ts';

const minutes = Number(process.argv[2] ?? 30);
const random = seededRandom(Number(process.argv[3] ?? 1));
const workers = 3;
const frameMs = 1500;
/** More than two threads a worker can do in the time: the rest is let go at the end. */
const frames = Math.ceil((minutes * 60_000 * workers * 2) / frameMs);
/** Between two disturbances, not counting what they take themselves. */
const quietMs = { least: 5000, most: 25_000 };
type Memory = Readonly<Record<'submitter' | 'worker' | 'measuring process' | 'Redis', number>>;

/** @returns what was done. */
async function disturb(stage: Stage): Promise<'worker' | 'Redis'> {
  if (random() < 0.3) {
    await stage.redis.kill();
    await delay(random() * 2000);
    await stage.redis.restart();
    return 'Redis';
  }
  const [, ...killable] = await stage.crew(workers);
  killable[Math.floor(random() * killable.length)]?.child.kill('SIGKILL');
  await stage.crew(workers);
  return 'worker';
}

const stage = await openStage();
const redis = new Redis(patient(parseRedisUrl(stage.redis.url)));
redis.on('error', () => undefined);
try {
  const delivery = stage.lay({ frames, framesPerGarment: 20, frameMs });
  const spared = (await stage.crew(workers))[0]?.child.pid ?? 0;
  const submitter = delivery.submit();
  await delivery.untilBegun(1);
  const samples: Memory[] = [];
  const kills = { worker: 0, Redis: 0 };
  const beganMs = performance.now();
  while (performance.now() - beganMs < minutes * 60_000) {
    await delay(quietMs.least + random() * (quietMs.most - quietMs.least));
    const memory: Memory = {
      submitter: residentMb(submitter.child.pid ?? 0),
      worker: residentMb(spared),
      'measuring process': residentMb(childOf(spared)),
      Redis: Number(/used_memory:(\d+)/.exec(await redis.info('memory'))?.[1]) / 2 ** 20,
    };
    samples.push(memory);
    const begun = Object.keys(delivery.tries()).length;
    const mb = Object.entries(memory).map(([name, value]) => `${name} ${value.toFixed(1)}`);
    console.log(
      `${((performance.now() - beganMs) / 60_000).toFixed(1)} min, ${begun} begun; MiB: ${mb.join(', ')}`,
    );
    kills[await disturb(stage)] += 1;
  }
  const atLetGo = Object.keys(delivery.tries()).length;
  delivery.letGo();
  const { status, err } = await submitter.ended;
  if (status !== 1) throw new Error(`the submitter ended with ${status}: ${err}`);
  const tries = Object.values(delivery.tries());
  const most = Math.max(...tries);
  const again = tries.filter((count) => count > 1).length;
  const difference = differenceOf(delivery.result(), await delivery.undisturbed());
  console.log(
    `${minutes} minutes; killed: ${kills.worker} times a worker, ${kills.Redis} times Redis; ${atLetGo} frames in that time and ${frames} in all, ${again} of them begun more than once, ${most} times at most; result ${difference ?? 'as undisturbed'}`,
  );
  const flat = tellsFlat(samples, 'MiB');
  process.exitCode = flat && difference === null && most <= 1 + maxLostWorkers ? 0 : 1;
} finally {
  redis.disconnect();
  await stage.dispose();
}
