import { execFileSync } from 'node:child_process';
import { readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { codedError } from '../../../pipeline/errors.ts';
import { lookUpFrame, type MeasureStep, measureFrameBy } from '../../../pipeline/tasks/measure-frame.ts';
import { fakeMeasurement } from '../../helpers/fake-measurement.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

function countingStep(fault?: Error): MeasureStep & { readonly calls: () => number } {
  let calls = 0;
  return {
    version: 'v1',
    calls: () => calls,
    async measure(bytes) {
      calls += 1;
      if (fault) throw fault;
      return { measurement: fakeMeasurement(bytes), evidence: [] };
    },
  };
}

function frame(name = 'a.jpg', body = 'pixels') {
  const folder = scratchFolder();
  const path = join(folder, name);
  writeFileSync(path, body);
  return { frameId: `dress/${name}`, path, cache: join(folder, 'cache'), version: 'v1' };
}

describe('measuring one frame', () => {
  it('measures once, then finds it by content whatever its name', async () => {
    const step = countingStep();
    const task = frame();
    const first = await measureFrameBy(step, task);
    // From outside the project: printf pixels | sha256sum (GNU coreutils 9.1).
    const contentHash = execFileSync('sha256sum', [task.path], { encoding: 'utf8' }).slice(0, 64);
    expect(first).toEqual({ ok: true, frameId: 'dress/a.jpg', contentHash, fromCache: false });
    const copy = { ...frame('b.jpg'), cache: task.cache };
    expect(await measureFrameBy(step, copy)).toMatchObject({
      ok: true,
      frameId: 'dress/b.jpg',
      fromCache: true,
    });
    expect(await lookUpFrame(copy)).toMatchObject({ outcome: { ok: true, contentHash, fromCache: true } });
    expect(step.calls()).toBe(1);
  });

  it('measures a file again that was replaced under the same name', async () => {
    const step = countingStep();
    const task = frame();
    const first = await measureFrameBy(step, task);
    writeFileSync(task.path, 'other pixels');
    expect(await lookUpFrame(task)).toHaveProperty('contentHash');
    const second = await measureFrameBy(step, task);
    expect(second).toMatchObject({ ok: true, fromCache: false });
    expect(second).not.toEqual(first);
  });

  it('makes bad bytes an outcome, once', async () => {
    const step = countingStep(codedError('cut-off', { format: 'JPEG' }));
    const task = frame();
    const reason = codedError('cut-off', { format: 'JPEG' }).message;
    const lost = { ok: false, frameId: 'dress/a.jpg', mayPass: false, reason };
    expect(await measureFrameBy(step, task)).toEqual({ ...lost, fromCache: false });
    expect(await measureFrameBy(step, task)).toEqual({ ...lost, fromCache: true });
    expect(await lookUpFrame(task)).toEqual({ outcome: { ...lost, fromCache: true } });
    expect(step.calls()).toBe(1);
  });

  it('lets a fault of the program through and keeps nothing of it', async () => {
    const task = frame();
    await expect(measureFrameBy(countingStep(new TypeError('x is undefined')), task)).rejects.toThrow('x is');
    expect(await lookUpFrame(task)).toHaveProperty('contentHash');
  });

  it('says in a sentence why a file cannot be opened', async () => {
    const task = frame();
    const gone = await lookUpFrame({ ...task, path: `${task.path}.gone` });
    expect(gone).toMatchObject({
      outcome: { ok: false, fromCache: false, reason: expect.stringContaining('it is not there') },
    });
    const folder = await lookUpFrame({ ...task, path: join(task.path, '..') });
    expect(folder).toMatchObject({ outcome: { reason: expect.stringContaining('it is not a file') } });
  });

  it('does not wait for ever on a pipe that is named like a picture', async () => {
    const task = frame();
    const path = `${task.path}.pipe.jpg`;
    execFileSync('mkfifo', [path]);
    expect(await lookUpFrame({ ...task, path })).toMatchObject({ outcome: { ok: false } });
  });

  it('does not answer for another version', async () => {
    const task = { ...frame(), version: 'v2' };
    await expect(measureFrameBy(countingStep(), task)).rejects.toMatchObject({ code: 'version-differs' });
  });

  it('says what is wrong with a store that cannot be written', async () => {
    const task = frame();
    writeFileSync(task.cache, 'a file where the store should be');
    await expect(measureFrameBy(countingStep(), task)).rejects.toMatchObject({
      code: 'out-not-written',
      message: expect.stringContaining('is a file, not a folder'),
    });
    expect(readdirSync(join(task.path, '..')).sort()).toEqual(['a.jpg', 'cache']);
  });
});
