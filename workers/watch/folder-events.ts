/**
 * Events of the system about a folder and the folders in it, as a hint to look again at once. Each folder is watched by itself: a
 * recursive watch takes a handle for every file on Linux and loses folders that are taken away and put back. Network storage
 * sends no events and handles can run out; who listens must look now and then anyway.
 */
import { type FSWatcher, watch } from 'node:fs';
import { stat } from 'node:fs/promises';
import type { Logger } from 'pino';

export interface FolderEvents {
  /** Watches exactly these folders from now on. */
  follow(folders: readonly string[]): Promise<void>;
  close(): void;
}

/** Another folder under the same path, as when a card is put back, has another key. */
async function keyOf(path: string): Promise<string | null> {
  return stat(path).then(
    ({ dev, ino }) => `${dev}:${ino}:${path}`,
    () => null,
  );
}

export function createFolderEvents(onEvent: () => void, log: Logger): FolderEvents {
  const watchers = new Map<string, FSWatcher>();

  function drop(key: string): void {
    watchers.get(key)?.close();
    watchers.delete(key);
  }

  function open(key: string, path: string): void {
    try {
      const watcher = watch(path, { persistent: false }, onEvent);
      watcher.on('error', (error) => {
        log.debug({ error, path }, 'events of a folder ended');
        drop(key);
      });
      watchers.set(key, watcher);
    } catch (error) {
      log.debug({ error, path }, 'no events of a folder');
    }
  }

  return {
    async follow(folders) {
      const keys = new Map<string, string>();
      for (const path of folders) {
        const key = await keyOf(path);
        if (key !== null) keys.set(key, path);
      }
      for (const key of [...watchers.keys()]) if (!keys.has(key)) drop(key);
      for (const [key, path] of keys) if (!watchers.has(key)) open(key, path);
    },
    close() {
      for (const key of [...watchers.keys()]) drop(key);
    },
  };
}
