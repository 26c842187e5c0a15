/** A look at a watched folder: what `check` would take for its delivery, and the state of each file. */
import { readdir } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { Delivery } from '../../pipeline/contracts/delivery.ts';
import { CodedError } from '../../pipeline/errors.ts';
import { fileStamps } from '../file-stamps.ts';
import { endsWhole } from './ends-whole.ts';
import type { FolderEvents } from './folder-events.ts';
import type { Look } from './watch-folder.ts';

/** The folder, those in it, and every further one that holds a frame. */
async function foldersOf(root: string, delivery: Delivery | null): Promise<readonly string[]> {
  const entries = await readdir(root, { withFileTypes: true }).catch(() => []);
  const inside = entries.filter((entry) => entry.isDirectory()).map(({ name }) => join(root, name));
  const holding = delivery?.frames.map(({ path }) => dirname(path)) ?? [];
  return [...new Set([root, ...inside, ...holding])];
}

function awayWords(path: string, { code, message }: CodedError, known: boolean): string {
  if (code === 'delivery-empty')
    return known
      ? `${path} is empty now. What was judged stays as it is; the watch goes on when frames are there again.`
      : `Waiting for the first frame in ${path}.`;
  if (code === 'delivery-not-found')
    return `${path} cannot be reached. What was judged stays as it is; the watch goes on when it is back.`;
  return `${message} New frames wait until that is put right.`;
}

/**
 * @param path the folder as the user named it.
 * @param read the delivery in it as it is now.
 */
export function createLook(path: string, root: string, read: () => Promise<Delivery>, events: FolderEvents) {
  let known = false;
  let before: ReadonlyMap<string, string | null> = new Map();

  /** Frames that came or were written to since the last look and end as a picture does; none where every frame is new. */
  async function wholeSince({ frames }: Delivery, stamps: ReadonlyMap<string, string | null>) {
    const changed = known ? frames.filter(({ id }) => stamps.get(id) !== before.get(id)) : [];
    const whole = new Set<string>();
    for (const { id, path: file } of changed) if (await endsWhole(file)) whole.add(id);
    return whole;
  }

  return async function look(): Promise<Look> {
    try {
      const delivery = await read();
      const stamps = await fileStamps(delivery.frames);
      await events.follow(await foldersOf(root, delivery));
      const whole = await wholeSince(delivery, stamps);
      known = true;
      before = stamps;
      return { delivery, stamps, whole };
    } catch (error) {
      if (!(error instanceof CodedError) || error.kind !== 'usage') throw error;
      await events.follow(await foldersOf(root, null));
      return { away: awayWords(path, error, known) };
    }
  };
}
