/**
 * What a frame costs, where, and against what: the floor (one decode and each network once) and a technician's script, all in one run.
 * `npm run bench -- [--quick] [--rounds n] [--memory-frames n] [--street folder] [--street-frames n]`; tables go to standard output.
 * Without `--street` (a folder with `photos`, `labels.csv` and `boxes.csv`) a garment of the demo stands in for photographs.
 */
import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { median } from '../../pipeline/numeric/statistics.ts';
import { allButLargest, flagged, labelsOf, Recall } from './background-recall.ts';
import { highDetailFrame } from './bench-frames.ts';
import { machineRate } from './machine-rate.ts';
import { enterMeasuringEnvironment } from './measuring-environment.ts';
import { type Peer, startPeer } from './peer.ts';
import { poolRate } from './pool-rate.ts';
import { printTurns } from './print-turns.ts';
import { factorSpread } from './stage-clock.ts';
import { type Figure, printFigures } from './targets.ts';
import { type Sample, takeTurns } from './turns.ts';

enterMeasuringEnvironment();

const { values: options } = parseArgs({
  options: {
    quick: { type: 'boolean', default: false },
    rounds: { type: 'string' },
    'memory-frames': { type: 'string' },
    street: { type: 'string' },
    'street-frames': { type: 'string' },
  },
});
const { quick } = options;
const figures: Figure[] = [];
const rounds = Number(options.rounds ?? (quick ? 2 : 9));
const memoryFrames = Number(options['memory-frames'] ?? (quick ? 6 : 60));
const streetFrames = Number(options['street-frames'] ?? (quick ? 6 : 100));

async function streetTurns(folder: string, peer: Peer | null): Promise<void> {
  const [ours, theirs] = [new Recall(), new Recall()];
  const labelled = await labelsOf(folder);
  const step = Math.max(1, Math.floor(labelled.length / streetFrames));
  const samples = labelled
    .filter((_, index) => index % step === 0)
    .slice(0, streetFrames)
    .map(
      (frame): Sample => ({
        path: join(folder, 'photos', frame.file),
        look: ({ file, people }, answer) => {
          ours.add(flagged(people, file), frame, file.height);
          if (answer !== null) theirs.add(allButLargest(answer.people), frame, file.height);
        },
      }),
    );
  printTurns('Street photographs', await takeTurns(samples, 1, peer));
  console.log('  people in the background, a tenth of the frame tall or more (95 % interval):');
  console.log(`    Nightrail: ${ours.words()}`);
  if (peer !== null) console.log(`    script:    ${theirs.words()}`);
}

async function demoTurns(peer: Peer | null): Promise<void> {
  const garment = fileURLToPath(new URL('../../samples/delivery/tea-dress', import.meta.url));
  const samples = (await readdir(garment)).map((file) => ({ path: join(garment, file) }));
  printTurns('Demo frames', await takeTurns(samples, 1, peer));
}

async function scaling(jpeg: Buffer, path: string): Promise<void> {
  const rates: Record<1 | 2, number[]> = { 1: [], 2: [] };
  const machine: number[] = [];
  for (let turn = 0; turn < (quick ? 1 : 3); turn++) {
    for (const workers of [1, 2] as const) {
      rates[workers].push((await poolRate(jpeg, workers, workers * (quick ? 4 : 16))).framesPerS);
    }
    const alone = await machineRate(path, 1);
    machine.push((await machineRate(path, 2)) / alone);
  }
  const [one, two] = [median(rates[1]), median(rates[2])];
  const factors = rates[2].map((rate, turn) => rate / rates[1][turn]!);
  console.log(`\nPool of workers, 24 Mpx: ${one.toFixed(2)} frames/s with 1, ${two.toFixed(2)} with 2`);
  console.log(`  ${factorSpread(factors)} times with the second`);
  console.log(`  ${factorSpread(machine)} times: bare decode and networks, two processes instead of one`);
  figures.push({
    what: 'rate with a second worker',
    value: two / one,
    target: 1.85,
    bound: 'at least',
    unit: 'times',
  });
}

async function memory(jpeg: Buffer): Promise<void> {
  const { peakMib, residentMib } = await poolRate(jpeg, 1, memoryFrames);
  const third = Math.ceil(residentMib.length / 3);
  const most = (of: readonly number[]): string => Math.max(...of).toFixed(0);
  console.log(`\nMemory of a worker, ${residentMib.length} frames of 45 Mpx: peak ${peakMib.toFixed(0)} MiB`);
  figures.push({ what: 'memory of a worker at 45 Mpx', value: peakMib, target: 600, unit: 'MiB' });
  console.log(
    `  after a frame at most ${most(residentMib.slice(0, third))} MiB in the first third, ${most(residentMib.slice(-third))} in the last`,
  );
}

console.log(`${cpus()[0]?.model ?? 'unknown processor'}, ${cpus().length} cores, Node ${process.version}`);
const peer = startPeer();
if (peer === null) {
  console.log("Without the technician's script: apt-get install --no-install-recommends python3-opencv");
}
const scratch = await mkdtemp(join(tmpdir(), 'nightrail-bench-'));
try {
  const frames = new Map<24 | 45, Buffer>();
  for (const mpx of [24, 45] as const) {
    const bytes = await highDetailFrame(mpx);
    frames.set(mpx, bytes);
    const path = join(scratch, `${mpx}.jpg`);
    await writeFile(path, bytes);
    const title = `${mpx} Mpx, JPEG of quality 92, ${(bytes.length / 2 ** 20).toFixed(1)} MiB`;
    const compared = printTurns(
      title,
      await takeTurns([{ path }], mpx === 24 ? rounds : Math.ceil(rounds / 2), peer),
    );
    if (mpx !== 24) continue;
    const { overFloor, timesTheScript } = compared;
    figures.push({
      what: "processor time of 24 Mpx over the floor's",
      value: overFloor,
      target: 1.35,
      unit: 'times',
    });
    if (timesTheScript === null) continue;
    figures.push({
      what: 'as fast as the script, 24 Mpx',
      value: timesTheScript,
      target: 2.5,
      bound: 'at least',
      unit: 'times',
    });
  }
  if (options.street === undefined) await demoTurns(peer);
  else await streetTurns(options.street, peer);
  peer?.close();
  await scaling(frames.get(24)!, join(scratch, '24.jpg'));
  await memory(frames.get(45)!);
  console.log('\nTargets');
  printFigures(figures);
} finally {
  await rm(scratch, { recursive: true });
}
