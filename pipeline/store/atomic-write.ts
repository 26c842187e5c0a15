/**
 * Files that are whole or not there: written under a random temporary name in the same folder, flushed, renamed.
 * The random name matters: workers of several machines write into one shared folder, where process numbers repeat.
 */
import {
  copyFile,
  type FileHandle,
  link,
  mkdir,
  open,
  readdir,
  rename,
  rm,
  stat,
  writeFile,
} from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { systemCode } from './system-error.ts';

const temporaryName = /^\.nightrail-[0-9a-f-]{36}\.tmp$/;

/** A write takes seconds at most: an older temporary file belongs to a process that was killed. */
const abandonedAfterMs = 60 * 60 * 1000;

async function throughTemporary(path: string, fill: (temporary: string) => Promise<void>): Promise<void> {
  await mkdir(dirname(path), { recursive: true });
  const temporary = join(dirname(path), `.nightrail-${crypto.randomUUID()}.tmp`);
  try {
    await fill(temporary);
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true });
    throw error;
  }
}

/** What a file is to hold; in pieces where one block of memory would be too large. */
export type Body = string | Uint8Array | readonly Uint8Array[];

/** Pieces handed to the system in one call. */
const piecesAtOnce = 1000;

/** All of the pieces, one behind the other. Throws the system's error. */
export async function writePieces(handle: FileHandle, pieces: readonly Uint8Array[]): Promise<void> {
  for (let start = 0; start < pieces.length; start += piecesAtOnce) {
    const some = pieces.slice(start, start + piecesAtOnce);
    const { bytesWritten } = await handle.writev(some);
    const bytes = some.reduce((sum, { byteLength }) => sum + byteLength, 0);
    // A disk that fills up takes a part and says why only when it is asked to take the rest.
    if (bytesWritten < bytes) await handle.writeFile(Buffer.concat(some).subarray(bytesWritten));
  }
}

/** Writes a file so that a reader sees the old one or the whole new one. Makes the folder. Throws the system's error. */
export async function writeFileAtomic(path: string, body: Body): Promise<void> {
  await throughTemporary(path, async (temporary) => {
    const handle = await open(temporary, 'wx');
    try {
      if (typeof body === 'string' || body instanceof Uint8Array) await handle.writeFile(body);
      else await writePieces(handle, body);
      // Without the flush a power cut may leave the new name on an empty file.
      await handle.sync();
    } finally {
      await handle.close();
    }
  });
}

/** Disks that know no second name for a file (FAT, some network storage) answer one of these. */
const knowsNoLinks = new Set(['EPERM', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS']);

/**
 * The same for a file that must never be written over: somebody may make it meanwhile. The folder must be there.
 * @returns false where there is such a file already.
 */
export async function writeNewFile(path: string, body: string): Promise<boolean> {
  const temporary = join(dirname(path), `.nightrail-${crypto.randomUUID()}.tmp`);
  try {
    await writeFile(temporary, body, { flag: 'wx', flush: true });
    // A link is refused where the name is taken; a rename would take the other file's place.
    await link(temporary, path);
    return true;
  } catch (error) {
    const code = systemCode(error) ?? '';
    if (code === 'EEXIST') return false;
    if (!knowsNoLinks.has(code)) throw error;
    if ((await stat(path).catch(() => null)) !== null) return false;
    await rename(temporary, path);
    return true;
  } finally {
    await rm(temporary, { force: true });
  }
}

/** Copies a file under the same promise, except that it is not flushed: a copy can be made again. */
export async function copyFileAtomic(from: string, to: string): Promise<void> {
  await throughTemporary(to, (temporary) => copyFile(from, temporary));
}

/** Removes what a killed process left behind in a folder (not below it). A missing folder is fine. */
export async function sweepTemporaries(folder: string, nowMs: number): Promise<void> {
  const names = await readdir(folder).catch(() => []);
  for (const name of names.filter((each) => temporaryName.test(each))) {
    const path = join(folder, name);
    const age = await stat(path).then(
      ({ mtimeMs }) => nowMs - mtimeMs,
      () => 0,
    );
    if (age > abandonedAfterMs) await rm(path, { force: true });
  }
}
