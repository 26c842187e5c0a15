import { chmodSync, existsSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import type { Delivery } from '../../pipeline/contracts/delivery.ts';
import type { Dispatcher, FrameOutcome, Progress } from '../../pipeline/contracts/work.ts';
import { adapters, type DispatcherSetting } from '../helpers/dispatchers.ts';
import { scratchFolder } from '../helpers/scratch.ts';
import { type Script, triesIn, writeScripted } from '../helpers/scripts.ts';

const never = new AbortController().signal;

function names(count: number, does: Script['does'], rest: Partial<Script> = {}): Script[] {
  return Array.from({ length: count }, (_, index) => ({ name: `f${index}`, does, ...rest }));
}

// What the port promises, whatever carries it out.
describe.each(adapters)('the $name dispatcher', ({ name, open, prepare, dispose }) => {
  beforeAll(prepare);
  afterAll(dispose);

  function dispatcher(setting: DispatcherSetting): Dispatcher {
    const opened = open(setting);
    onTestFinished(() => opened.close());
    return opened;
  }

  async function outcomes(setting: DispatcherSetting, delivery: Delivery): Promise<readonly FrameOutcome[]> {
    return dispatcher(setting).measure(delivery, () => undefined, never);
  }

  it('gives one outcome a frame in the order of the delivery, and reports each once', async () => {
    const root = scratchFolder();
    const delivery = writeScripted(join(root, 'in'), [
      { name: 'slow', does: 'sleeps', ms: 200 },
      ...names(6, 'measures'),
      { name: 'bad', does: 'is-damaged' },
    ]);
    rmSync(delivery.frames[3]?.path ?? '');
    const seen: Progress[] = [];
    const result = await dispatcher({ cache: join(root, 'cache') }).measure(
      delivery,
      (progress) => seen.push(progress),
      never,
    );
    expect(result.map(({ frameId }) => frameId)).toEqual(delivery.frames.map(({ id }) => id));
    expect(result.filter(({ ok }) => !ok).map(({ frameId }) => frameId)).toEqual([
      'dress/f2.jpg',
      'dress/bad.jpg',
    ]);
    expect(seen.map(({ done }) => done)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    expect(new Set(seen.map(({ frameId }) => frameId)).size).toBe(8);
    expect(seen.every(({ total }) => total === 8)).toBe(true);
  });

  it('measures nothing the second time', async () => {
    const root = scratchFolder();
    const journal = join(root, 'journal');
    const delivery = writeScripted(join(root, 'in'), [
      ...names(5, 'measures', { journal }),
      { name: 'bad', does: 'is-damaged', journal },
    ]);
    const first = await outcomes({ cache: join(root, 'cache') }, delivery);
    const second = await outcomes({ cache: join(root, 'cache') }, delivery);
    expect(Object.values(triesIn(journal))).toEqual([1, 1, 1, 1, 1, 1]);
    expect(second).toEqual(first.map((outcome) => ({ ...outcome, fromCache: true })));
  });

  it('has nothing to say about an empty delivery', async () => {
    const root = scratchFolder();
    expect(await outcomes({ cache: join(root, 'cache') }, writeScripted(join(root, 'in'), []))).toEqual([]);
  });

  it('when stopped finishes the frames in hand, begins no other, and goes on from there the next time', async () => {
    const root = scratchFolder();
    const cache = join(root, 'cache');
    const journal = join(root, 'journal');
    const delivery = writeScripted(join(root, 'in'), names(24, 'sleeps', { ms: 200, journal }));
    const stop = new AbortController();
    const stopped = dispatcher({ cache }).measure(
      delivery,
      ({ done }) => done === 3 && stop.abort(),
      stop.signal,
    );
    await expect(stopped).rejects.toMatchObject({ code: 'stopped', kind: 'run' });
    const begun = Object.keys(triesIn(journal)).length;
    expect(begun).toBeGreaterThanOrEqual(3);
    expect(begun).toBeLessThan(24);
    // Nothing half-written, and every frame that was begun was kept.
    expect(readdirSync(cache).filter((name) => name.endsWith('.tmp'))).toEqual([]);
    expect(readdirSync(cache).filter((name) => name.endsWith('.json')).length).toBe(begun);
    const result = await outcomes({ cache }, delivery);
    expect(result.filter(({ fromCache }) => fromCache).length).toBe(begun);
    expect(Object.values(triesIn(journal)).every((tries) => tries === 1)).toBe(true);
  });

  it('ends with a sentence where the store cannot be written', async () => {
    const root = scratchFolder();
    const delivery = writeScripted(join(root, 'in'), names(6, 'measures'));
    writeFileSync(join(root, 'cache'), 'a file where the store should be');
    await expect(outcomes({ cache: join(root, 'cache') }, delivery)).rejects.toMatchObject({
      code: 'out-not-written',
      kind: 'run',
    });
  });

  // A worker of the queue that cannot measure leaves its frames to others: see tests/faults.
  // Only the pool loads the work of its threads from a module of the caller's.
  if (name === 'pool') {
    it('ends with a sentence where the threads cannot load what they need', async () => {
      const root = scratchFolder();
      const delivery = writeScripted(join(root, 'in'), names(6, 'measures'));
      const work = new URL('./not-there.ts', import.meta.url).href;
      await expect(outcomes({ cache: join(root, 'cache'), work }, delivery)).rejects.toMatchObject({
        code: 'measuring-not-possible',
        kind: 'run',
      });
    });
  }

  it('never writes to the delivery', async () => {
    const root = scratchFolder();
    const delivery = writeScripted(join(root, 'in'), names(3, 'measures'));
    const folder = join(root, 'in', 'dress');
    const before = readdirSync(folder);
    chmodSync(folder, 0o555);
    mkdirSync(join(root, 'cache'));
    await outcomes({ cache: join(root, 'cache') }, delivery);
    chmodSync(folder, 0o755);
    expect(readdirSync(folder)).toEqual(before);
    expect(existsSync(join(root, 'in', '.nightrail-documents.json'))).toBe(false);
  });
});
