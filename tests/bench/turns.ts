/** Product, floor and script in turn on the same frames, so that a busy machine is as busy for each. */
import { createHash } from 'node:crypto';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import type { Measurement } from '../../pipeline/contracts/measurement/measurement.ts';
import { measureFrame } from '../../pipeline/measure/measure-frame.ts';
import { measurementVersion } from '../../pipeline/measure/version.ts';
import { writeMeasured } from '../../pipeline/store/measurement-store.ts';
import type { Peer, PeerAnswer } from './peer.ts';
import { StageClock } from './stage-clock.ts';
import { watchNetworks } from './watched-networks.ts';

// As in a measuring thread: one thread a picture.
sharp.concurrency(1);

let clock = new StageClock();
const networks = watchNetworks((stage, work) => clock.observe(stage, work));
const version = measurementVersion();

export interface Sample {
  readonly path: string;
  /** Gets what the product and the script found. */
  look?(measurement: Measurement, answer: PeerAnswer | null): void;
}

export interface Turns {
  readonly product: StageClock;
  readonly floor: StageClock;
  readonly script: readonly PeerAnswer[];
}

/** One frame through the product, in the steps of `pipeline/tasks/measure-frame.ts`. */
async function productFrame(path: string) {
  const cache = await mkdtemp(join(tmpdir(), 'nightrail-bench-'));
  const { observe } = clock;
  const { bytes, contentHash } = await observe('read', async () => {
    const read = await readFile(path);
    return { bytes: read, contentHash: createHash('sha256').update(read).digest('hex') };
  });
  const { measurement, evidence } = await measureFrame(bytes, contentHash, observe);
  await observe('write', () => writeMeasured(cache, version, measurement, evidence));
  await rm(cache, { recursive: true });
  clock.endFrame();
  return { bytes, measurement };
}

/** The floor: one full decode by sharp, and each network once on the input the product gave it last. */
async function floorFrame(bytes: Buffer, floor: StageClock): Promise<void> {
  await floor.observe('decode by sharp', () => sharp(bytes).raw().toBuffer());
  await floor.observe('each network once', () => networks.runEachOnce());
  floor.endFrame();
}

export async function takeTurns(
  samples: readonly Sample[],
  turns: number,
  peer: Peer | null,
): Promise<Turns> {
  const floor = new StageClock();
  const script: PeerAnswer[] = [];
  // A night has thousands of frames: the first ones, which load networks and warm the compiler up, are not counted.
  for (let warmUp = 0; samples[0] !== undefined && warmUp < 10; warmUp++) await productFrame(samples[0].path);
  clock = new StageClock();
  for (let turn = 0; turn < turns; turn++) {
    for (const { path, look } of samples) {
      const { bytes, measurement } = await productFrame(path);
      await floorFrame(bytes, floor);
      const answer = peer === null ? null : await peer.lookAt(path);
      if (answer !== null) script.push(answer);
      if (turn === 0) look?.(measurement, answer);
    }
  }
  return { product: clock, floor, script };
}
