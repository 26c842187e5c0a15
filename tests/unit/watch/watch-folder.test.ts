import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { createBell } from '../../../workers/watch/bell.ts';
import { watchFolder } from '../../../workers/watch/watch-folder.ts';

beforeEach(() => vi.useFakeTimers());
afterEach(() => vi.useRealTimers());

it('looks again within half a minute although a look took long and no event comes', async () => {
  const looksMs: number[] = [];
  const stop = new AbortController();
  const watched = watchFolder(
    {
      look: async () => {
        looksMs.push(performance.now());
        await new Promise((resolve) => setTimeout(resolve, 8000));
        return { away: 'not there' };
      },
      measure: () => Promise.reject(new Error('there is nothing to measure')),
      tell: async () => undefined,
      say: () => undefined,
      bell: createBell(),
      atOnce: 1,
      nowMs: () => performance.now(),
    },
    stop.signal,
  );
  await vi.advanceTimersByTimeAsync(120_000);
  stop.abort();
  await vi.runAllTimersAsync();
  expect(await watched).toMatchObject({ delivery: null });
  const gapsMs = looksMs.slice(1).map((ms, index) => ms - looksMs[index]!);
  expect(gapsMs.length).toBeGreaterThan(3);
  expect(Math.max(...gapsMs)).toBeLessThanOrEqual(30_000);
});
