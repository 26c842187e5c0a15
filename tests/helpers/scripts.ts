import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Delivery } from '../../pipeline/contracts/delivery.ts';
import type { QueueTiming } from '../../workers/queue/timing.ts';

export const scriptedVersion = 'scripted1';

/** Waits short enough for tests. */
export const quickTiming: QueueTiming = {
  lockMs: 3000,
  stalledMs: 1000,
  backoffMs: 50,
  followMs: 50,
  leaseMs: 3000,
};

/** What a frame of a scripted delivery does while it is measured. */
export interface Script {
  readonly name: string;
  readonly does:
    | 'measures'
    | 'sleeps'
    | 'waits'
    | 'throws'
    | 'is-damaged'
    | 'exits'
    | 'exhausts-heap'
    | 'hangs'
    | 'crashes'
    | 'is-killed';
  readonly ms?: number;
  /** Folder of its garment, `dress` by default. */
  readonly garment?: string;
  /** The file that a frame which `waits` waits for; once it is there, a frame which `sleeps` does not. */
  readonly untilFile?: string;
  /** File to which every try adds the frame's name. */
  readonly journal?: string;
  /** Only the first try does it: this file then says that there was one. */
  readonly onceMarker?: string;
}

/** Writes a delivery whose frames are scripts. */
export function writeScripted(root: string, scripts: readonly Script[]): Delivery {
  const frames = scripts.map((script) => {
    const { name, garment = 'dress' } = script;
    const id = `${garment}/${name}.jpg`;
    const path = join(root, id);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, JSON.stringify(script));
    return { id, garment, path };
  });
  const garments = [...new Set(frames.map(({ garment }) => garment))].map((id) => ({
    id,
    frames: frames.filter(({ garment }) => garment === id).map((frame) => frame.id),
    required: null,
    columns: {},
  }));
  return { root, garments, frames, remarks: [] };
}

/** How often each frame was tried, by name. */
export function triesIn(journal: string): Readonly<Record<string, number>> {
  const tries: Record<string, number> = {};
  for (const name of readFileSync(journal, 'utf8').split('\n').filter(Boolean))
    tries[name] = (tries[name] ?? 0) + 1;
  return tries;
}
