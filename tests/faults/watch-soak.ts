/**
 * A long day on set in minutes: `npm run soak:watch -- [events] [seed]`, by default 3,000. Frames come, are shot again, stay
 * half-written and are taken away, the folder goes and comes back, the clock is set; the folder holds some 40 files at any time,
 * so neither memory nor open handles may grow. At the end the documents must be those of `check`. Status 1 where one is not so.
 */
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { childOf, openHandles, residentMb, tellsFlat } from '../helpers/flat-memory.ts';
import { seededRandom } from '../helpers/random.ts';
import { comparable, scriptedNightrail } from '../helpers/run-nightrail.ts';

const events = Number(process.argv[2] ?? 3000);
const random = seededRandom(Number(process.argv[3] ?? 1));
const garments = 5;
const framesEach = 8;
const gapMs = 60;
const samplesTaken = 60;

const folder = await mkdtemp(join(tmpdir(), 'nightrail-soak-'));
const shoot = join(folder, 'shoot');
const clock = join(folder, 'clock');
const jumpingClock = new URL('../helpers/jumping-clock.mjs', import.meta.url).href;
const oneOf = (count: number): number => Math.floor(random() * count);

/** @returns what the command said, once it has ended. */
function command(...args: readonly string[]) {
  const child = spawn(process.execPath, ['--import', jumpingClock, scriptedNightrail, ...args], {
    cwd: folder,
    stdio: 'ignore',
    env: { ...process.env, CLOCK_SHIFT_FILE: clock },
  });
  return { child, ended: new Promise((resolve) => child.on('close', resolve)) };
}

const frame = (name: string): string => JSON.stringify({ name, does: 'measures', taken: random() });

async function happen(): Promise<string> {
  const garment = join(shoot, `style-${oneOf(garments)}`);
  const name = `${oneOf(framesEach)}.jpg`;
  const path = join(garment, name);
  const kind = random();
  if (kind < 0.02) {
    renameSync(shoot, `${shoot}-pulled`);
    await delay(1500 * random());
    renameSync(`${shoot}-pulled`, shoot);
    return 'folder gone and back';
  }
  if (kind < 0.04) {
    writeFileSync(clock, String(Math.round((random() - 0.5) * 7_200_000)));
    return 'clock set';
  }
  mkdirSync(garment, { recursive: true });
  if (kind < 0.2) {
    rmSync(path, { force: true });
    return 'frame taken away';
  }
  if (kind < 0.25) {
    writeFileSync(path, frame(name).slice(0, -3));
    return 'frame half-written';
  }
  writeFileSync(`${path}.part`, frame(name));
  renameSync(`${path}.part`, path);
  return 'frame come or shot again';
}

mkdirSync(shoot);
const watch = command('watch', 'shoot', '--out', 'out');
try {
  while (!existsSync(join(folder, 'out', 'index.html'))) {
    await happen();
    await delay(500);
  }
  const memory: Record<string, number>[] = [];
  const handles: Record<string, number>[] = [];
  const counts = new Map<string, number>();
  for (let event = 0; event < events; event += 1) {
    const what = await happen();
    counts.set(what, (counts.get(what) ?? 0) + 1);
    await delay(2 * gapMs * random());
    if (event % Math.ceil(events / samplesTaken) !== 0 || event < events / samplesTaken) continue;
    const pids = { watch: watch.child.pid ?? 0, 'measuring process': childOf(watch.child.pid ?? 0) };
    const ofEach = (look: (pid: number) => number) =>
      Object.fromEntries(Object.entries(pids).map(([name, pid]) => [name, look(pid)]));
    memory.push(ofEach(residentMb));
    handles.push(ofEach(openHandles));
  }
  await delay(12_000);
  watch.child.kill('SIGINT');
  const status = await watch.ended;
  await command('check', 'shoot', '--out', 'checked').ended;
  const same = comparable(join(folder, 'out')) === comparable(join(folder, 'checked'));
  console.log([...counts].map(([what, count]) => `${what}: ${count}`).join(', '));
  const flat = [tellsFlat(memory, 'MiB'), tellsFlat(handles, 'handles')].every((each) => each);
  const measured = readdirSync(join(folder, 'out', 'cache')).length;
  console.log(
    `${events} events, ${measured} files measured; memory and handles ${flat ? 'flat' : 'NOT FLAT'}; ended with ${status}, results ${same ? 'as check makes them' : 'DIFFER from check'}`,
  );
  process.exitCode = flat && same ? 0 : 1;
} finally {
  watch.child.kill('SIGKILL');
  await watch.ended;
  rmSync(folder, { recursive: true, force: true, maxRetries: 3 });
}
