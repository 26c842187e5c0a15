import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import type { Delivery } from '../../pipeline/contracts/delivery.ts';
import type { FrameOutcome } from '../../pipeline/contracts/work.ts';
import { type DispatcherSetting, scriptedPool } from '../helpers/dispatchers.ts';
import { measuringProcess } from '../helpers/measuring-process.ts';
import { scratchFolder } from '../helpers/scratch.ts';
import { type Script, triesIn, writeScripted } from '../helpers/scripts.ts';

async function measured(setting: DispatcherSetting, delivery: Delivery): Promise<Map<string, FrameOutcome>> {
  const pool = scriptedPool(setting);
  onTestFinished(() => pool.close());
  const outcomes = await pool.measure(delivery, () => undefined, new AbortController().signal);
  return new Map(
    outcomes.map((outcome) => [outcome.frameId.slice('dress/'.length, -'.jpg'.length), outcome]),
  );
}

function reasonOf(outcome: FrameOutcome | undefined): string {
  return outcome?.ok === false ? outcome.reason : 'measured';
}

/** Kills this test's own measuring process. */
function killHost(): void {
  const host = measuringProcess(process.pid);
  if (host === null) throw new Error('there is no measuring process to kill');
  process.kill(host, 'SIGKILL');
}

it('costs no frame but the one at fault, whatever that one does to its thread or process', async () => {
  const root = scratchFolder();
  const journal = join(root, 'journal');
  const frames: Script[] = (
    [
      ['a', 'measures'],
      ['exits', 'exits'],
      ['b', 'sleeps'],
      ['throws', 'throws'],
      ['crashes', 'crashes'],
      ['c', 'measures'],
      ['exhausts-heap', 'exhausts-heap'],
      ['is-killed', 'is-killed'],
      ['d', 'measures'],
    ] as const
  ).map(([name, does]) => ({ name, does, ms: 100, journal }));
  const result = await measured({ cache: join(root, 'cache') }, writeScripted(join(root, 'in'), frames));
  expect([...result].filter(([, { ok }]) => ok).map(([name]) => name)).toEqual(['a', 'b', 'c', 'd']);
  expect(reasonOf(result.get('exits'))).toContain('ended its worker');
  expect(reasonOf(result.get('throws'))).toContain('the measurement has a fault');
  expect(reasonOf(result.get('crashes'))).toContain('SIGSEGV');
  expect(reasonOf(result.get('exhausts-heap'))).toContain('more memory');
  expect(reasonOf(result.get('is-killed'))).toContain('SIGKILL');
  const tries = triesIn(journal);
  expect(Object.entries(tries).filter(([, count]) => count > 2)).toEqual([]);
  for (const name of ['exits', 'throws', 'crashes', 'exhausts-heap', 'is-killed'])
    expect(tries[name]).toBe(2);
});

it('measures a frame at its second try where the first was lost by chance', async () => {
  const root = scratchFolder();
  const frames = (['exits', 'throws', 'crashes', 'is-killed', 'exhausts-heap'] as const).map((does) => ({
    name: does,
    does,
    onceMarker: join(root, does),
  }));
  // One thread: beside a neighbour that ends the process, the one chance would be lost without being taken.
  const result = await measured(
    { cache: join(root, 'cache'), threads: 1 },
    writeScripted(join(root, 'in'), frames),
  );
  expect([...result.values()].map(reasonOf)).toEqual(frames.map(() => 'measured'));
});

it('ends a frame that hangs at the time limit, and counts no waiting against it', async () => {
  const root = scratchFolder();
  const frames: Script[] = [
    { name: 'hangs', does: 'hangs' },
    // Longer than the limit in all, each well within it.
    ...Array.from({ length: 6 }, (_, index) => ({ name: `s${index}`, does: 'sleeps' as const, ms: 500 })),
  ];
  const result = await measured(
    { cache: join(root, 'cache'), frameTimeoutMs: 2500 },
    writeScripted(join(root, 'in'), frames),
  );
  expect(reasonOf(result.get('hangs'))).toContain('longer than 2.5 s');
  expect([...result.values()].filter(({ ok }) => ok).length).toBe(6);
});

it('goes on when its measuring process is killed from outside, again and again', async () => {
  const root = scratchFolder();
  const journal = join(root, 'journal');
  const frames = Array.from({ length: 24 }, (_, index) => ({
    name: `f${index}`,
    does: 'sleeps' as const,
    ms: 60,
    journal,
  }));
  const pool = scriptedPool({ cache: join(root, 'cache') });
  onTestFinished(() => pool.close());
  const outcomes = await pool.measure(
    writeScripted(join(root, 'in'), frames),
    ({ done }) => {
      if (done % 8 === 4) killHost();
    },
    new AbortController().signal,
  );
  // Two kills further apart than a frame takes: each frame has a second try and needs no more.
  expect(outcomes.map((outcome) => reasonOf(outcome))).toEqual(frames.map(() => 'measured'));
  expect(Math.max(...Object.values(triesIn(journal)))).toBe(2);
});

it('gives up with a sentence where the measuring process never comes to work', async () => {
  const root = scratchFolder();
  const work = new URL('../helpers/dies-at-once.ts', import.meta.url).href;
  const delivery = writeScripted(join(root, 'in'), [{ name: 'a', does: 'measures' }]);
  await expect(measured({ cache: join(root, 'cache'), work }, delivery)).rejects.toMatchObject({
    code: 'measuring-not-possible',
    message: expect.stringContaining('again and again (SIGKILL)'),
  });
});
