/**
 * A day that is measured already, of any number of frames: the demo's frames over and over, each under a content hash of its own.
 * Its files hold a few bytes each, which stand for a photograph: the command finds their measurements in the store.
 */
import { createHash } from 'node:crypto';
import { link, mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Delivery } from '../../pipeline/contracts/delivery.ts';
import type { FrameOutcome } from '../../pipeline/contracts/work.ts';
import { type MeasuredFrame, measureFrame } from '../../pipeline/measure/measure-frame.ts';
import { measurementVersion } from '../../pipeline/measure/version.ts';
import { loadProfile } from '../../pipeline/profile/load-profile.ts';
import { evidencePath, measuredFile, storedPath } from '../../pipeline/store/measurement-store.ts';
import type { RunFacts } from '../../pipeline/tasks/write-run.ts';

const garment = fileURLToPath(new URL('../../samples/delivery/tea-dress', import.meta.url));
const framesEach = 10;

/** The demo's frames as they are measured, in the size delivered. */
export async function measuredSamples(): Promise<readonly MeasuredFrame[]> {
  const measured: MeasuredFrame[] = [];
  for (const name of (await readdir(garment)).sort())
    measured.push(await measureFrame(await readFile(join(garment, name))));
  return measured;
}

const bytesOf = (number: number): string => `frame ${number}`;

/** The facts of a run over so many frames in garments of ten, in that folder: `shoot`, and `out` with the store. */
export async function dayOf(frames: number, folder: string, profile: string | null): Promise<RunFacts> {
  const root = join(folder, 'shoot');
  const out = join(folder, 'out');
  const delivery: Delivery = { root, garments: [], frames: [], remarks: [] };
  const outcomes: FrameOutcome[] = [];
  for (let number = 0; number < frames; number += 1) {
    const id = `style-${String(Math.floor(number / framesEach)).padStart(3, '0')}`;
    const frameId = `${id}/${number}.jpg`;
    if (number % framesEach === 0) delivery.garments.push({ id, frames: [], required: null, columns: {} });
    delivery.garments.at(-1)!.frames.push(frameId);
    delivery.frames.push({ id: frameId, garment: id, path: join(root, frameId) });
    const contentHash = createHash('sha256').update(bytesOf(number)).digest('hex');
    outcomes.push({ ok: true, frameId, contentHash, fromCache: true });
  }
  return {
    delivery,
    outcomes,
    out,
    cache: join(out, 'cache'),
    version: measurementVersion(),
    profile: await loadProfile(profile),
    startedAt: new Date(),
    host: 'bench',
    dispatch: 'pool',
    decisions: { path: join(folder, 'decisions.csv'), found: true, rows: [] },
  };
}

/** Puts frames and measurements in their places. Nothing is flushed, as a bench's store need not outlive a power cut. */
export async function keepDay(
  samples: readonly MeasuredFrame[],
  { delivery, outcomes, cache, version }: RunFacts,
): Promise<void> {
  // Pictures are linked to and not copied: 5,000 frames have 1.7 GB of them.
  const pictures = join(cache, 'samples');
  for (const [index, { evidence }] of samples.entries()) {
    await mkdir(join(pictures, String(index)), { recursive: true });
    for (const { name, bytes } of evidence) await writeFile(join(pictures, String(index), name), bytes);
  }
  for (const [number, { path }] of delivery.frames.entries()) {
    const outcome = outcomes[number]!;
    const index = number % samples.length;
    const { measurement, evidence } = samples[index]!;
    if (!outcome.ok) throw new Error('a day that is measured has no frame without a measurement');
    const { contentHash } = outcome;
    await mkdir(dirname(path), { recursive: true });
    await writeFile(path, bytesOf(number));
    await mkdir(evidencePath(cache, contentHash, version, '.'), { recursive: true });
    for (const { name } of evidence)
      await link(join(pictures, String(index), name), evidencePath(cache, contentHash, version, name));
    const file = measuredFile(version, { ...measurement, contentHash }, evidence);
    await writeFile(storedPath(cache, contentHash, version), file);
  }
}
