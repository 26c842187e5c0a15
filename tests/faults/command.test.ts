import { execFileSync } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { describe, expect, it, onTestFinished } from 'vitest';
import { measuringProcess } from '../helpers/measuring-process.ts';
import { comparable, scriptedNightrail, start, startScripted } from '../helpers/run-nightrail.ts';
import { scratchFolder } from '../helpers/scratch.ts';
import { type Script, triesIn, writeScripted } from '../helpers/scripts.ts';

function delivery(
  folder: string,
  frames: number,
  rest: Partial<Script> = {},
): { root: string; journal: string } {
  const root = join(folder, 'shoot');
  const journal = join(folder, 'journal');
  const scripts = Array.from({ length: frames }, (_, index) => ({
    name: `f${String(index).padStart(2, '0')}`,
    does: 'sleeps' as const,
    ms: 100,
    journal,
    ...rest,
  }));
  writeScripted(root, scripts);
  return { root, journal };
}

async function untilTried(journal: string, frames: number): Promise<void> {
  while (!existsSync(journal) || Object.keys(triesIn(journal)).length < frames) await delay(20);
}

function endIfThere(pid: number): void {
  if (existsSync(`/proc/${pid}`)) process.kill(pid, 'SIGKILL');
}

function everyFile(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' });
}

describe('a run that does not come to its end', () => {
  it('killed half-way, goes on where it was and gives what an undisturbed run gives', async () => {
    const folder = scratchFolder();
    const { journal } = delivery(folder, 16);
    const run = startScripted(folder, ['check', 'shoot', '--out', 'out', '--workers', '2']);
    await untilTried(journal, 6);
    // The command and, through it, the process that measures.
    run.child.kill('SIGKILL');
    expect((await run.ended).signal).toBe('SIGKILL');
    expect(existsSync(join(folder, 'out', 'results.json'))).toBe(false);

    const again = await startScripted(folder, ['check', 'shoot', '--out', 'out', '--json']).ended;
    expect([again.err, again.status]).toEqual([expect.any(String), 1]);
    const summary = JSON.parse(again.out);
    expect(summary.measured).toBeLessThanOrEqual(12);
    expect(summary.measured + summary.fromCache).toBe(16);
    // The killed run had at most its two frames in hand.
    expect(Object.values(triesIn(journal)).filter((tries) => tries > 1).length).toBeLessThanOrEqual(2);

    const undisturbed = await startScripted(folder, ['check', 'shoot', '--out', 'other']).ended;
    expect(undisturbed.status).toBe(1);
    expect(comparable(join(folder, 'out'))).toBe(comparable(join(folder, 'other')));
    const names = (out: string) =>
      everyFile(join(folder, out))
        .filter((name) => !name.endsWith('.tmp'))
        .sort();
    expect(names('out')).toEqual(names('other'));
  });

  it('finishes the frames in hand at the first Ctrl-C, and ends at once at the second', async () => {
    const folder = scratchFolder();
    const { journal } = delivery(folder, 12, { ms: 400 });
    const once = startScripted(folder, ['check', 'shoot', '--out', 'out', '--workers', '2']);
    await untilTried(journal, 2);
    once.child.kill('SIGINT');
    const stopped = await once.ended;
    expect(stopped.status).toBe(3);
    expect(stopped.err).toContain('Finishing the frames in hand');
    expect(stopped.err).toMatch(
      /Stopped: \d+ of 12 frames are measured and kept. Run the same command again/,
    );
    const begun = Object.keys(triesIn(journal)).length;
    const kept = () =>
      readdirSync(join(folder, 'out', 'cache')).filter((name) => name.endsWith('.json')).length;
    expect(kept()).toBe(begun);

    const hanging = scratchFolder();
    const other = delivery(hanging, 2, { does: 'hangs' });
    const twice = startScripted(hanging, ['check', 'shoot', '--out', 'out', '--workers', '2']);
    await untilTried(other.journal, 2);
    twice.child.kill('SIGINT');
    await delay(300);
    const askedMs = performance.now();
    twice.child.kill('SIGINT');
    expect((await twice.ended).status).toBe(3);
    expect(performance.now() - askedMs).toBeLessThan(5000);
    expect(everyFile(join(hanging, 'out')).filter((name) => name.includes('lock'))).toEqual([]);
  });

  it('says what is wrong on a full disk, keeps what fitted, and goes on once there is room', async () => {
    const folder = scratchFolder();
    delivery(folder, 6, { ms: 0 });
    const command = `"${process.execPath}" "${scriptedNightrail}" check shoot --out disk/out`;
    // A disk of this test's own, in a name space of its own: it is gone with the shell.
    const script = `mkdir disk && mount -t tmpfs -o size=256k tmpfs disk && mkdir disk/out
      head -c 10M /dev/zero > disk/filler 2>/dev/null
      ${command}; echo "first $?"
      rm disk/filler; mount -o remount,size=8m disk
      ${command} > /dev/null; echo "second $?"`;
    const { out, err } = await start('unshare', ['-rm', 'sh', '-c', script], folder).ended;
    expect(err).toMatch(/Cannot write to .*disk.*: the disk is full/);
    expect(out).toContain('first 3');
    expect(out).toContain('second 1');
  });

  it('says what is wrong where the output folder cannot be made', async () => {
    const folder = scratchFolder();
    delivery(folder, 1);
    writeFileSync(join(folder, 'out'), 'a file');
    const { status, err } = await startScripted(folder, ['check', 'shoot', '--out', 'out']).ended;
    expect([status, err]).toEqual([3, expect.stringMatching(/Cannot write to .*out: a file of that name/)]);
  });
});

describe('a command that is killed', () => {
  it.each([
    ['as its measuring process starts', async () => undefined],
    ['a second later', () => delay(1000)],
    ['in the middle of a frame', (journal: string) => untilTried(journal, 1)],
  ])('leaves no measuring process behind, %s', async (_, moment) => {
    const folder = scratchFolder();
    const { journal } = delivery(folder, 2, { does: 'hangs' });
    const run = startScripted(folder, ['check', 'shoot', '--out', 'out', '--workers', '1']);
    let host: number | null = null;
    while (host === null) {
      await delay(20);
      host = measuringProcess(run.child.pid!);
    }
    await moment(journal);
    // Held still, it cannot hear of the end before it has got any further with its start.
    process.kill(host, 'SIGSTOP');
    run.child.kill('SIGKILL');
    await once(run.child, 'exit');
    process.kill(host, 'SIGCONT');
    // A process that stays is ended with the test, which then fails for its time.
    onTestFinished(() => endIfThere(host));
    while (existsSync(`/proc/${host}`)) await delay(50);
  });
});

describe('two runs on one output folder', () => {
  it('refuses the second with a sentence and leaves the first alone', async () => {
    const folder = scratchFolder();
    const untilFile = join(folder, 'go-on');
    const { journal } = delivery(folder, 6, { does: 'waits', untilFile });
    const first = startScripted(folder, ['check', 'shoot', '--out', 'out']);
    await untilTried(journal, 1);
    const second = await startScripted(folder, ['check', 'shoot', '--out', 'out', '--json']).ended;
    expect(second.status).toBe(3);
    expect(second.err).toMatch(/Another run is writing to this output folder: process \d+ on /);
    expect(JSON.parse(second.out)).toMatchObject({ status: 3, error: { code: 'out-in-use' } });
    writeFileSync(untilFile, '');
    expect((await first.ended).status).toBe(1);
  });
});

describe('what a run must never do', () => {
  it('writes nothing into the delivery, also where the output folder lies inside it', async () => {
    const folder = scratchFolder();
    const { root } = delivery(folder, 3, { ms: 0 });
    const before = everyFile(root);
    const hash = () =>
      execFileSync('sh', ['-c', 'cat dress/*.jpg | sha256sum'], { cwd: root, encoding: 'utf8' });
    const hashBefore = hash();
    const first = await startScripted(folder, ['check', 'shoot', '--out', 'shoot/report']).ended;
    expect(first.status).toBe(1);
    const again = await startScripted(folder, ['check', 'shoot', '--out', 'shoot/report', '--json']).ended;
    expect(JSON.parse(again.out)).toMatchObject({ measured: 0, fromCache: 3 });
    expect(everyFile(root).filter((name) => !name.startsWith('report'))).toEqual(before);
    expect(hash()).toBe(hashBefore);
  });

  it.each([
    ['the delivery itself', 'shoot', 'shoot', /names the delivery itself/],
    ['a folder around one that it fills', 'shoot/pictures', 'shoot', /a folder that Nightrail fills/],
  ])('mixes documents with originals in %s', async (_, from, out, sentence) => {
    const folder = scratchFolder();
    delivery(join(folder, 'shoot', 'pictures', '..'), 1);
    writeScripted(join(folder, 'shoot', 'pictures'), [{ name: 'a', does: 'measures' }]);
    const { status, err } = await startScripted(folder, ['check', from, '--out', out]).ended;
    expect([status, err]).toEqual([2, expect.stringMatching(sentence)]);
  });

  it('writes over the files of somebody else', async () => {
    const folder = scratchFolder();
    delivery(folder, 1);
    execFileSync('mkdir', ['out'], { cwd: folder });
    writeFileSync(join(folder, 'out', 'index.html'), 'my own page');
    const { status, err } = await startScripted(folder, ['check', 'shoot', '--out', 'out']).ended;
    expect([status, err]).toEqual([2, expect.stringContaining('that Nightrail did not write')]);
    expect(readFileSync(join(folder, 'out', 'index.html'), 'utf8')).toBe('my own page');
  });
});
