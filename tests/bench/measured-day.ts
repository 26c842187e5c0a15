/** A day that is measured already, of any number of frames: the demo's frames over and over, each under a content hash of its own. */
import { createHash } from 'node:crypto';
import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Delivery } from '../../pipeline/contracts/delivery.ts';
import type { FrameOutcome } from '../../pipeline/contracts/work.ts';
import { type MeasuredFrame, measureFrame } from '../../pipeline/measure/measure-frame.ts';
import { measurementVersion } from '../../pipeline/measure/version.ts';
import { evidencePath } from '../../pipeline/store/measurement-store.ts';

const garment = fileURLToPath(new URL('../../samples/delivery/tea-dress', import.meta.url));
const framesEach = 10;

export interface MeasuredDay {
  readonly delivery: Delivery;
  readonly outcomes: readonly FrameOutcome[];
  readonly cache: string;
  readonly version: string;
}

/** The demo's frames as they are measured, in the size delivered. */
export async function measuredSamples(): Promise<readonly MeasuredFrame[]> {
  const measured: MeasuredFrame[] = [];
  for (const name of (await readdir(garment)).sort())
    measured.push(await measureFrame(await readFile(join(garment, name))));
  return measured;
}

/** @returns the content hash under which the sample is kept; not flushed, as a bench's store need not outlive a power cut. */
async function keep(sample: MeasuredFrame, number: number, cache: string, version: string): Promise<string> {
  const contentHash = createHash('sha256').update(`frame ${number}`).digest('hex');
  await mkdir(evidencePath(cache, contentHash, version, '.'), { recursive: true });
  for (const { name, bytes } of sample.evidence)
    await writeFile(evidencePath(cache, contentHash, version, name), bytes);
  const stored = {
    ok: true,
    version,
    evidence: sample.evidence.map(({ name, bytes }) => ({ name, bytes: bytes.byteLength })),
    measurement: { ...sample.measurement, contentHash },
  };
  await writeFile(join(cache, `${contentHash}-${version}.json`), JSON.stringify(stored));
  return contentHash;
}

/** So many frames in garments of ten, measured into a store in that folder. */
export async function measuredDay(
  samples: readonly MeasuredFrame[],
  frames: number,
  folder: string,
): Promise<MeasuredDay> {
  const cache = join(folder, 'cache');
  const version = measurementVersion();
  const delivery: Delivery = { root: folder, garments: [], frames: [], remarks: [] };
  const outcomes: FrameOutcome[] = [];
  for (let number = 0; number < frames; number += 1) {
    const id = `style-${String(Math.floor(number / framesEach)).padStart(3, '0')}`;
    const frameId = `${id}/${number}.jpg`;
    if (number % framesEach === 0) delivery.garments.push({ id, frames: [], required: null, columns: {} });
    delivery.garments.at(-1)!.frames.push(frameId);
    delivery.frames.push({ id: frameId, garment: id, path: join(folder, frameId) });
    const contentHash = await keep(samples[number % samples.length]!, number, cache, version);
    outcomes.push({ ok: true, frameId, contentHash, fromCache: true });
  }
  return { delivery, outcomes, cache, version };
}
