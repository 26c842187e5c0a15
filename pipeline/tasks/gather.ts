/** What the measurement store knows of the frames of a run. */
import type { Measurement } from '../contracts/measurement/measurement.ts';
import type { FrameOutcome } from '../contracts/work.ts';
import { codedError } from '../errors.ts';
import type { Measured } from '../judge/judge-delivery.ts';
import { picturesFolder } from '../report/links.ts';
import { readStored, type Stored } from '../store/measurement-store.ts';
import type { RunFile } from './written-documents.ts';

/** Measurements read at once: far below any limit on open files. */
const atOnce = 16;

export interface GatheredFrame {
  readonly measured: Measured;
  /** Pictures of the frame for the documents. */
  readonly pictures: readonly RunFile[];
}

async function storedOf(outcome: FrameOutcome, cache: string, version: string): Promise<Stored> {
  if (!outcome.ok) return { ok: false, reason: outcome.reason };
  const stored = await readStored(cache, outcome.contentHash, version);
  return stored ?? { ok: false, reason: codedError('measurement-gone', {}).message };
}

function gathered(stored: Stored): GatheredFrame {
  if (!stored.ok) return { measured: { reason: stored.reason }, pictures: [] };
  const folder = picturesFolder(stored.measurement.contentHash);
  // Masks go out in the size of the frame, to the retoucher.
  const pictures = stored.evidence
    .filter(({ name }) => name.endsWith('.jpg'))
    .map(({ name, path }) => ({ path: `${folder}/${name}`, from: path }));
  return { measured: { measurement: stored.measurement }, pictures };
}

/**
 * @param cache folder of the measurement store.
 * @param version measurement version.
 * @returns frame id to what is known of it, in the order of the outcomes.
 */
export async function gather(
  outcomes: readonly FrameOutcome[],
  cache: string,
  version: string,
): Promise<ReadonlyMap<string, GatheredFrame>> {
  const frames = new Map<string, GatheredFrame>();
  for (let start = 0; start < outcomes.length; start += atOnce) {
    const some = outcomes.slice(start, start + atOnce);
    const stored = await Promise.all(some.map((outcome) => storedOf(outcome, cache, version)));
    some.forEach(({ frameId }, index) => {
      frames.set(frameId, gathered(stored[index]!));
    });
  }
  return frames;
}

/** The pictures of all these frames, each once: two frames with the same bytes share theirs. */
export function picturesOf(frames: ReadonlyMap<string, GatheredFrame>): readonly RunFile[] {
  const pictures = [...frames.values()].flatMap((frame) => frame.pictures);
  return [...new Map(pictures.map((file) => [file.path, file])).values()];
}

/** The measurements alone, by frame id. */
export function measurementsOf(frames: ReadonlyMap<string, GatheredFrame>): ReadonlyMap<string, Measurement> {
  return new Map(
    [...frames].flatMap(([id, { measured }]) =>
      'measurement' in measured ? [[id, measured.measurement] as const] : [],
    ),
  );
}
