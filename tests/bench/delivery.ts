/**
 * What a delivery costs beside measuring its frames: the command's start, judging from the store, the documents, and how that grows.
 * `npm run bench:delivery -- [--quick] [--frames n]`; by default 5,000 frames are judged, with `--quick` 500, and targets in
 * proportion. Status 1 where a target is missed.
 */
import { execFile, spawn } from 'node:child_process';
import { cp, mkdir, mkdtemp, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { parseArgs, promisify } from 'node:util';
import { median } from '../../pipeline/numeric/statistics.ts';
import { writeRun } from '../../pipeline/tasks/write-run.ts';
import type { JudgedOnce } from './judge-once.ts';
import { dayOf, keepDay, measuredSamples } from './measured-day.ts';
import { type Figure, printFigures } from './targets.ts';

const { values: options } = parseArgs({
  options: { quick: { type: 'boolean', default: false }, frames: { type: 'string' } },
});
const { quick } = options;
const targets = {
  startMs: 1500,
  rejudgeMsAFrame: 3000 / 5000,
  documentsMsAFrame: 10_000 / 250,
  growth: 1.25,
};
const large = Number(options.frames ?? (quick ? 500 : 5000));
const day = quick ? 60 : 250;
/** Frames of one time; two, four and eight times as many stand beside it. */
const once = quick ? 20 : 60;
const turns = quick ? 2 : 5;

const root = fileURLToPath(new URL('../..', import.meta.url));
const path = (name: string): string => join(root, name);
const scratch = await mkdtemp(join(tmpdir(), 'nightrail-bench-'));
const otherProfile = path('samples/profiles/strict-store.json');

interface Took {
  readonly wallMs: number;
  readonly cpuMs: number;
}

async function timed(work: () => Promise<unknown>): Promise<Took> {
  const beganMs = performance.now();
  const cpu = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(cpu);
  return { wallMs: performance.now() - beganMs, cpuMs: (user + system) / 1000 };
}

const words = ({ cpuMs }: Took): string => `${cpuMs.toFixed(0)} ms of processor time`;

/** Ms from the start of the command to the beginning of its first frame, and to its end. */
async function start(delivery: string, number: number): Promise<{ begunMs: number; endMs: number }> {
  const beganMs = performance.now();
  const child = spawn(
    process.execPath,
    [
      path('workers/nightrail.js'),
      'check',
      delivery,
      '--out',
      join(scratch, `start-${number}`),
      '--workers',
      '1',
    ],
    { stdio: ['ignore', 'ignore', 'pipe'], env: { ...process.env, NIGHTRAIL_LOG: 'debug' } },
  );
  let begunMs = Number.NaN;
  createInterface({ input: child.stderr }).on('line', (line) => {
    if (line.includes('frame begun')) begunMs = performance.now() - beganMs;
  });
  await new Promise((resolve) => child.on('close', resolve));
  return { begunMs, endMs: performance.now() - beganMs };
}

async function starts(): Promise<readonly Figure[]> {
  const delivery = join(scratch, 'one');
  await mkdir(join(delivery, 'dress'), { recursive: true });
  await cp(path('samples/delivery/linen-shift/a-0412.jpg'), join(delivery, 'dress', 'a.jpg'));
  // The first may have to compile the sources.
  await start(delivery, 0);
  const times: { begunMs: number; endMs: number }[] = [];
  for (let turn = 1; turn <= turns; turn += 1) times.push(await start(delivery, turn));
  const begun = times.map(({ begunMs }) => begunMs);
  const more = `${Math.min(...begun).toFixed(0)} to ${Math.max(...begun).toFixed(0)} ms; with its documents after ${median(times.map(({ endMs }) => endMs)).toFixed(0)} ms`;
  return [
    {
      what: 'start of the command to first frame',
      value: median(begun),
      target: targets.startMs,
      unit: 'ms',
      more,
    },
  ];
}

/** In a process of its own. */
async function judgeOnce(folder: string, profile: string | null): Promise<JudgedOnce> {
  const asked = [folder, String(large), ...(profile === null ? [] : [profile])];
  const { stdout } = await promisify(execFile)(
    process.execPath,
    ['--import', 'tsx', path('tests/bench/judge-once.ts'), ...asked],
    { cwd: root },
  );
  return JSON.parse(stdout) as JudgedOnce;
}

/** Of several turns the one with the median wall time. */
const typical = <T extends Took>(took: readonly T[]): T =>
  [...took].sort((a, b) => a.wallMs - b.wallMs)[Math.floor((took.length - 1) / 2)]!;

async function judging(samples: Awaited<ReturnType<typeof measuredSamples>>): Promise<readonly Figure[]> {
  const folder = join(scratch, 'large');
  await keepDay(samples, await dayOf(large, folder, null));
  // Without the start of the command, which has a line of its own, and without looking the frames up, which hashes the originals.
  const first = await judgeOnce(folder, null);
  const again: JudgedOnce[] = [];
  for (let turn = 0; turn < turns; turn += 1) again.push(await judgeOnce(folder, otherProfile));
  const { wallMs, judgedMs, peakMib, ...took } = typical(again);
  return [
    {
      what: `${large} frames by other limits, from the store to results.json`,
      value: wallMs,
      target: targets.rejudgeMsAFrame * large,
      unit: 'ms',
      more: `${judgedMs.toFixed(0)} ms without writing; ${words({ wallMs, ...took })}; ${peakMib.toFixed(0)} MiB at most`,
    },
    {
      what: 'the same for the first time, sets compared',
      value: first.wallMs,
      target: null,
      unit: 'ms',
      more: words(first),
    },
  ];
}

/** The command as it is called, over frames of a few bytes each. */
async function wholeCommand(folder: string, profile: string | null): Promise<Took> {
  const asked = ['check', join(folder, 'shoot'), '--out', join(folder, 'out')];
  return timed(() =>
    promisify(execFile)(process.execPath, [
      path('workers/nightrail.js'),
      ...asked,
      ...(profile === null ? [] : ['--profile', profile]),
    ]).catch((error: { code?: number }) => {
      // 1: something does not pass.
      if (error.code !== 1) throw error;
    }),
  );
}

async function documents(samples: Awaited<ReturnType<typeof measuredSamples>>): Promise<readonly Figure[]> {
  const folder = join(scratch, 'day');
  const facts = await dayOf(day, folder, null);
  await keepDay(samples, facts);
  const written = await timed(() => writeRun(facts));
  const again = await timed(() => writeRun(facts));
  const other = await dayOf(day, join(scratch, 'compared'), null);
  await keepDay(samples, other);
  for (const name of await readdir(facts.cache))
    if (name.startsWith('drift-')) await cp(join(facts.cache, name), join(other.cache, name));
  const alone = await timed(() => writeRun(other));
  const asked = (what: string, took: Took): Figure => ({
    what,
    value: took.wallMs,
    target: targets.documentsMsAFrame * day,
    unit: 'ms',
    more: words(took),
  });
  const information = (what: string, took: Took, more?: string): Figure => ({
    what,
    value: took.wallMs,
    target: null,
    unit: 'ms',
    ...(more === undefined ? {} : { more }),
  });
  return [
    asked(`${day} frames: sets compared, verdicts, documents`, written),
    asked('the same where the sets were compared before', alone),
    information('the same once more over what is there', again, words(again)),
    information(`the command over these ${day}, other limits`, await wholeCommand(folder, otherProfile)),
    information('the command once more, nothing changed', await wholeCommand(folder, otherProfile)),
  ];
}

async function growth(samples: Awaited<ReturnType<typeof measuredSamples>>): Promise<readonly Figure[]> {
  const figures: Figure[] = [];
  const perFrame: number[] = [];
  for (const times of [1, 2, 4, 8]) {
    const facts = await dayOf(once * times, join(scratch, `times-${times}`), null);
    await keepDay(samples, facts);
    const took = await timed(() => writeRun(facts));
    perFrame.push(took.cpuMs / (once * times));
    figures.push({
      what: `${times} x ${once} frames: processor time a frame`,
      value: perFrame.at(-1)!,
      target: null,
      unit: 'ms',
      more: `${(took.wallMs / (once * times)).toFixed(0)} ms by wall`,
    });
  }
  const grown = perFrame.at(-1)! / perFrame[0]!;
  return [
    ...figures,
    { what: 'a frame among eight times as many', value: grown, target: targets.growth, unit: 'times' },
  ];
}

try {
  const samples = await measuredSamples();
  const figures = [
    ...(await starts()),
    ...(await judging(samples)),
    ...(await documents(samples)),
    ...(await growth(samples)),
  ];
  printFigures(figures);
} finally {
  await rm(scratch, { recursive: true, force: true });
}
