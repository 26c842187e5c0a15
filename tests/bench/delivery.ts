/**
 * What a delivery costs beside its frames: the command's start, judging from the store, the documents, and how that grows.
 * `npm run bench:delivery -- [--frames n]` (judged from the store, by default 5000); every figure stands beside its target, status 1 where one is missed.
 */
import { spawn } from 'node:child_process';
import { cp, mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { median } from '../../pipeline/numeric/statistics.ts';
import { loadProfile } from '../../pipeline/profile/load-profile.ts';
import { gather } from '../../pipeline/tasks/gather.ts';
import { type JudgeFacts, judgeRun } from '../../pipeline/tasks/judge-run.ts';
import { writeRun } from '../../pipeline/tasks/write-run.ts';
import { type MeasuredDay, measuredDay, measuredSamples } from './measured-day.ts';

const targets = { startMs: 1500, rejudgeMs: 3000, documentsMs: 10_000, growth: 1.25 } as const;
const starts = 5;
const { values: options } = parseArgs({ options: { frames: { type: 'string', default: '5000' } } });
const largeDelivery = Number(options.frames);
const day = 250;
/** Frames of one time; two, four and eight times as many stand beside it. */
const once = 40;

const root = fileURLToPath(new URL('../..', import.meta.url));
const scratch = await mkdtemp(join(tmpdir(), 'nightrail-bench-'));
let missed = false;

function tell(what: string, value: number, target: number, unit: string, more = ''): void {
  const holds = value <= target;
  missed ||= !holds;
  console.log(
    `${what}: ${value.toFixed(unit === 'ms' ? 0 : 2)} ${unit}, target ${target} ${unit}, ${holds ? 'holds' : 'missed'}${more}`,
  );
}

/** Ms from the start of the command to the beginning of its first frame, and to its measurement. */
async function start(number: number): Promise<{ begunMs: number; doneMs: number }> {
  const beganMs = performance.now();
  const child = spawn(
    process.execPath,
    [
      'workers/nightrail.js',
      'check',
      join(scratch, 'one'),
      '--out',
      join(scratch, `start-${number}`),
      '--workers',
      '1',
    ],
    { cwd: root, stdio: ['ignore', 'ignore', 'pipe'], env: { ...process.env, NIGHTRAIL_LOG: 'debug' } },
  );
  const times = { begunMs: Number.NaN, doneMs: Number.NaN };
  createInterface({ input: child.stderr }).on('line', (line) => {
    if (line.includes('frame begun')) times.begunMs = performance.now() - beganMs;
    if (line === '1 of 1 frames') times.doneMs = performance.now() - beganMs;
  });
  await new Promise((resolve) => child.on('close', resolve));
  return times;
}

async function factsOf({ delivery, version }: MeasuredDay): Promise<JudgeFacts> {
  return {
    delivery,
    version,
    profile: await loadProfile(null),
    startedAt: new Date(),
    host: 'bench',
    dispatch: 'pool',
    decisions: { path: join(scratch, 'decisions.csv'), found: true, rows: [] },
  };
}

async function timed(work: () => Promise<unknown>): Promise<{ wallMs: number; cpuMs: number }> {
  const beganMs = performance.now();
  const cpu = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(cpu);
  return { wallMs: performance.now() - beganMs, cpuMs: (user + system) / 1000 };
}

async function documents(of: MeasuredDay, out: string): Promise<{ wallMs: number; cpuMs: number }> {
  const facts = await factsOf(of);
  return timed(() => writeRun({ ...facts, ...of, out }));
}

try {
  await mkdir(join(scratch, 'one', 'dress'), { recursive: true });
  await cp(join(root, 'samples/delivery/linen-shift/a-0412.jpg'), join(scratch, 'one', 'dress', 'a.jpg'));
  const times: { begunMs: number; doneMs: number }[] = [];
  for (let number = 0; number < starts; number += 1) times.push(await start(number));
  const done = median(times.map(({ doneMs }) => doneMs));
  tell(
    'command start to first frame',
    median(times.map(({ begunMs }) => begunMs)),
    targets.startMs,
    'ms',
    `; it is measured after ${done.toFixed(0)} ms`,
  );

  const samples = await measuredSamples();
  const bare = samples.map(({ measurement }) => ({ measurement, evidence: [] }));
  const large = await measuredDay(bare, largeDelivery, join(scratch, 'large'));
  const facts = await factsOf(large);
  let read = { wallMs: 0, cpuMs: 0 };
  const judged = await timed(async () => {
    let gathered: Awaited<ReturnType<typeof gather>> = new Map();
    read = await timed(async () => {
      gathered = await gather(large.outcomes, large.cache, large.version);
    });
    await judgeRun(facts, gathered);
  });
  tell(
    `judging ${largeDelivery} frames from the store`,
    judged.wallMs,
    targets.rejudgeMs,
    'ms',
    `; ${read.wallMs.toFixed(0)} ms of it reading; processor ${judged.cpuMs.toFixed(0)} ms`,
  );

  const whole = await measuredDay(samples, day, join(scratch, 'day'));
  const written = await documents(whole, join(scratch, 'day-out'));
  tell(
    `documents of ${day} frames`,
    written.wallMs,
    targets.documentsMs,
    'ms',
    `; processor ${written.cpuMs.toFixed(0)} ms`,
  );
  const again = await documents(whole, join(scratch, 'day-out'));
  console.log(`the same once more over what is there: ${again.wallMs.toFixed(0)} ms`);

  const perFrame: number[] = [];
  for (const times of [1, 2, 4, 8]) {
    const grown = await measuredDay(samples, once * times, join(scratch, `times-${times}`));
    const { cpuMs } = await documents(grown, join(scratch, `times-${times}-out`));
    perFrame.push(cpuMs / (once * times));
    console.log(
      `${once * times} frames: ${perFrame.at(-1)!.toFixed(1)} ms of processor time a frame for verdicts and documents`,
    );
  }
  tell(
    'a frame among eight times as many against one',
    perFrame.at(-1)! / perFrame[0]!,
    targets.growth,
    'times',
  );
  process.exitCode = missed ? 1 : 0;
} finally {
  await rm(scratch, { recursive: true, force: true });
}
