import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { lockOutput } from '../../../workers/output-lock.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

async function lockThen(change: Record<string, unknown>): Promise<string> {
  const out = scratchFolder();
  const release = await lockOutput(out);
  const [name] = readdirSync(out);
  const holder = JSON.parse(readFileSync(join(out, name ?? ''), 'utf8'));
  release();
  const since = new Date(Date.now() - 60_000).toISOString();
  writeFileSync(join(out, name ?? ''), JSON.stringify({ ...holder, since, ...change }));
  return out;
}

describe('the lock on an output folder', () => {
  it('refuses the second run with a sentence that names the first, and lets it in afterwards', async () => {
    const out = scratchFolder();
    const release = await lockOutput(out);
    await expect(lockOutput(out)).rejects.toMatchObject({
      code: 'out-in-use',
      message: expect.stringContaining(`process ${process.pid} on ${hostname()}`),
    });
    release();
    expect(readdirSync(out)).toEqual([]);
    (await lockOutput(out))();
  });

  it('never lets two in, however many start at once', async () => {
    const out = scratchFolder();
    const all = await Promise.allSettled(Array.from({ length: 6 }, () => lockOutput(out)));
    expect(all.filter(({ status }) => status === 'fulfilled').length).toBeLessThanOrEqual(1);
    for (const one of all) if (one.status === 'fulfilled') one.value();
    (await lockOutput(out))();
  });

  it.each([
    // Linux gives process numbers up to 2^22 (proc(5), pid_max).
    ['whose process is gone', { pid: 2 ** 22 + 1 }],
    ['whose number another process has now', { pid: process.pid, startedTicks: '1' }],
    ['from before the machine started', { boot: 'another' }],
  ])('takes over from a run %s', async (_, change) => {
    const out = await lockThen(change);
    (await lockOutput(out))();
    expect(readdirSync(out)).toEqual([]);
  });

  it.each([
    ['on another machine', { host: 'desk-2', pid: 2 ** 22 + 1 }],
    ['in another container', { processes: 'pid:[1]', pid: 2 ** 22 + 1 }],
  ])('does not guess about a run %s', async (_, change) => {
    const out = await lockThen(change);
    await expect(lockOutput(out)).rejects.toMatchObject({ message: expect.stringContaining('delete') });
  });

  it('takes a broken lock file for none', async () => {
    const out = scratchFolder();
    writeFileSync(join(out, `.nightrail-lock-${crypto.randomUUID()}.json`), '{"pid": 1');
    (await lockOutput(out))();
    expect(readdirSync(out)).toEqual([]);
  });
});
