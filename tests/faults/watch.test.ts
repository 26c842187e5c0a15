/** A watched folder as it is on set: slow copies, cards pulled out, files replaced, clocks set, and the end of the day. */
import {
  appendFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import {
  comparable,
  type Running,
  scriptedNightrail,
  start,
  startScripted,
} from '../helpers/run-nightrail.ts';
import { scratchFolder } from '../helpers/scratch.ts';
import { type Script, triesIn } from '../helpers/scripts.ts';

const jumpingClock = new URL('../helpers/jumping-clock.mjs', import.meta.url).href;

interface Set {
  readonly folder: string;
  readonly shoot: string;
  readonly journal: string;
  readonly out: string;
  /** The bytes of a frame. */
  frame(name: string, rest?: Partial<Script>): string;
}

function aSet(): Set {
  const folder = scratchFolder();
  const journal = join(folder, 'journal');
  const shoot = join(folder, 'shoot');
  mkdirSync(join(shoot, 'dress'), { recursive: true });
  writeFileSync(journal, '');
  const frame = (name: string, rest: Partial<Script> = {}): string =>
    JSON.stringify({ name, does: 'measures', journal, ...rest });
  return { folder, shoot, journal, out: join(folder, 'out'), frame };
}

function watching({ folder }: Set, node: readonly string[] = []): Running {
  return start(process.execPath, [...node, scriptedNightrail, 'watch', 'shoot', '--out', 'out'], folder);
}

/** A watch that has seen the folder empty, so that every frame is news. */
async function watchingEmpty(set: Set, node: readonly string[] = []): Promise<Running> {
  const run = watching(set, node);
  await untilSaid(run, 'Waiting for the first frame');
  return run;
}

/** Longer than anything takes on a machine that does much else, shorter than the time limit of a test. */
const longestWaitMs = 200_000;

async function until(what: string, holds: () => boolean): Promise<void> {
  for (const beganMs = performance.now(); !holds(); await delay(20))
    if (performance.now() - beganMs > longestWaitMs) throw new Error(`Waited in vain until ${what}.`);
}

const untilSaid = ({ text }: Running, words: string): Promise<void> =>
  until(`"${words}" was said`, () => (text.out + text.err).includes(words));

async function stopped(run: Running): Promise<number | null> {
  run.child.kill('SIGINT');
  return (await run.ended).status;
}

const page = ({ out }: Set): string => readFileSync(join(out, 'garments', 'dress.html'), 'utf8');
const frameCount = (set: Set): number => page(set).match(/<section class="frame"/g)?.length ?? 0;

/** Folders whose events the process gets: one line each in the kernel's account of its event queue. */
function watchedFolders({ child }: Running): number {
  const folder = `/proc/${child.pid}/fdinfo`;
  const accounts = readdirSync(folder).map((name) => {
    try {
      return readFileSync(join(folder, name), 'utf8');
    } catch {
      return '';
    }
  });
  return accounts.join('').match(/^inotify /gm)?.length ?? 0;
}

/** What check makes of the same folder. */
async function checked({ folder }: Set): Promise<{ status: number | null; results: string }> {
  const run = startScripted(folder, ['check', 'shoot', '--out', 'checked']);
  const { status } = await run.ended;
  return { status, results: comparable(join(folder, 'checked')) };
}

describe('a watched folder', () => {
  it('has frames that come byte by byte, under other names first and out of order, each measured once and whole', async () => {
    const set = aSet();
    const run = await watchingEmpty(set);
    writeFileSync(join(set.shoot, 'dress', '.b.jpg.Xy12'), set.frame('b'));
    renameSync(join(set.shoot, 'dress', '.b.jpg.Xy12'), join(set.shoot, 'dress', 'b.jpg'));
    writeFileSync(join(set.shoot, 'dress', 'c.jpg.part'), set.frame('c'));
    for (const byte of set.frame('a')) {
      appendFileSync(join(set.shoot, 'dress', 'a.jpg'), byte);
      await delay(5);
    }
    renameSync(join(set.shoot, 'dress', 'c.jpg.part'), join(set.shoot, 'dress', 'c.jpg'));
    for (const name of ['a', 'b', 'c']) await untilSaid(run, `${name}.jpg:`);
    expect(triesIn(set.journal)).toEqual({ a: 1, b: 1, c: 1 });
    expect(run.text.out).not.toContain('unreadable');
    expect(frameCount(set)).toBe(3);
    const status = await stopped(run);
    const check = await checked(set);
    expect(status).toBe(check.status);
    expect(comparable(set.out)).toBe(check.results);
  });

  it('tells of a file that stays half-written after a while, and takes it when the rest comes', async () => {
    const set = aSet();
    const run = await watchingEmpty(set);
    const whole = set.frame('a');
    const path = join(set.shoot, 'dress', 'a.jpg');
    writeFileSync(path, whole.slice(0, -5));
    await untilSaid(run, 'a.jpg: unreadable');
    writeFileSync(path, whole);
    await untilSaid(run, 'a.jpg: cleanup');
    expect(frameCount(set)).toBe(1);
    expect(page(set)).not.toContain('unreadable-file');
    await stopped(run);
  });

  it('forgets the finding of a file that is replaced, and the frame that is taken away', async () => {
    const set = aSet();
    const run = await watchingEmpty(set);
    const path = (name: string): string => join(set.shoot, 'dress', `${name}.jpg`);
    writeFileSync(path('a'), set.frame('a'));
    writeFileSync(path('b'), set.frame('b', { does: 'is-damaged' }));
    await untilSaid(run, 'b.jpg: unreadable. The JPEG file is damaged');
    expect(page(set)).toContain('bad marker');
    writeFileSync(path('b'), set.frame('b'));
    await untilSaid(run, 'b.jpg: cleanup');
    expect(page(set)).not.toContain('bad marker');
    rmSync(path('a'));
    await untilSaid(run, 'a.jpg: no longer there');
    expect(frameCount(set)).toBe(1);
    await stopped(run);
  });

  it('goes away and comes back, said once each, and leaves no handles behind', async () => {
    const set = aSet();
    writeFileSync(join(set.shoot, 'dress', 'a.jpg'), set.frame('a'));
    const run = watching(set);
    await until('the page is there', () => existsSync(join(set.out, 'garments', 'dress.html')));
    const folders = watchedFolders(run);
    expect(folders).toBe(2);
    for (let times = 1; times <= 3; times += 1) {
      renameSync(set.shoot, `${set.shoot}-pulled`);
      const said = (words: string): number => (run.text.err.match(new RegExp(words, 'g')) ?? []).length;
      await until('it is missed', () => said('cannot be reached') === times);
      await delay(1500);
      renameSync(`${set.shoot}-pulled`, set.shoot);
      await until('it is seen again', () => said('there again') === times);
      expect(said('cannot be reached')).toBe(times);
    }
    expect(frameCount(set)).toBe(1);
    writeFileSync(join(set.shoot, 'dress', 'b.jpg'), set.frame('b'));
    await untilSaid(run, 'b.jpg: cleanup');
    expect(watchedFolders(run)).toBe(folders);
    expect(triesIn(set.journal)).toEqual({ a: 1, b: 1 });
    renameSync(set.shoot, `${set.shoot}-pulled`);
    await until('it is missed', () => (run.text.err.match(/cannot be reached/g) ?? []).length === 4);
    // The documents are about what was there.
    const status = await stopped(run);
    renameSync(`${set.shoot}-pulled`, set.shoot);
    const check = await checked(set);
    expect([status, comparable(set.out)]).toEqual([check.status, check.results]);
  });

  it('misses nothing while the clock of the machine is set back and forth', async () => {
    const set = aSet();
    const run = await watchingEmpty(set, ['--import', jumpingClock]);
    const names = Array.from({ length: 12 }, (_, index) => `f${index}`);
    for (const name of names) {
      writeFileSync(join(set.shoot, 'dress', `${name}.jpg`), set.frame(name));
      await delay(150);
    }
    for (const name of names) await untilSaid(run, `${name}.jpg:`);
    expect(Object.values(triesIn(set.journal))).toEqual(names.map(() => 1));
    await stopped(run);
    expect(comparable(set.out)).toBe((await checked(set)).results);
  });

  it('finishes what is in hand and what lies there when it is asked to stop, and ends at once when asked twice', async () => {
    const set = aSet();
    const run = await watchingEmpty(set);
    const names = ['a', 'b', 'c', 'd', 'e'];
    for (const name of names)
      writeFileSync(join(set.shoot, 'dress', `${name}.jpg`), set.frame(name, { does: 'sleeps', ms: 300 }));
    await until('one is begun', () => readFileSync(set.journal, 'utf8') !== '');
    const status = await stopped(run);
    expect(Object.keys(triesIn(set.journal)).sort()).toEqual(names);
    const check = await checked(set);
    expect([status, comparable(set.out)]).toEqual([check.status, check.results]);

    const other = aSet();
    writeFileSync(join(other.shoot, 'dress', 'a.jpg'), other.frame('a', { does: 'hangs' }));
    const hanging = watching(other);
    await until('it is begun', () => readFileSync(other.journal, 'utf8') !== '');
    hanging.child.kill('SIGINT');
    await untilSaid(hanging, 'Finishing the frames in hand');
    hanging.child.kill('SIGINT');
    expect((await hanging.ended).status).toBe(3);
  });

  it('is named wrongly, or nothing ever comes', async () => {
    const set = aSet();
    const wrong = startScripted(set.folder, ['watch', 'shoto', '--out', 'out']);
    expect(await wrong.ended).toMatchObject({
      status: 2,
      err: expect.stringContaining('shoto cannot be read'),
    });
    const run = await watchingEmpty(set);
    expect(await stopped(run)).toBe(2);
    expect(run.text.err).toContain('There is no picture in shoot');
  });
});
