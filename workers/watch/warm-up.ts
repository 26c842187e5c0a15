/** Threads that have measured once answer in half the time: networks are loaded and the code is compiled. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { FramePool } from '../pool/frame-pool.ts';

/** A frame with a model, so that every network has something to do. */
export const warmUpFrame = fileURLToPath(
  new URL('../../samples/delivery/linen-shift/a-0412.jpg', import.meta.url),
);

/** Measures that frame on every thread, into a store of its own that is thrown away. */
export async function warmUp(pool: FramePool, threads: number, version: string, path: string): Promise<void> {
  const cache = await mkdtemp(join(tmpdir(), 'nightrail-warm-up-'));
  try {
    const task = { frameId: 'warm-up', path, cache, version };
    await Promise.all(Array.from({ length: threads }, () => pool.measure(task)));
  } finally {
    await rm(cache, { recursive: true, force: true });
  }
}
