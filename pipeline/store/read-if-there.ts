import { readFile } from 'node:fs';
import { promisify } from 'node:util';
import { systemCode } from './system-error.ts';

/** Of `node:fs` and not `node:fs/promises`, whose file handles cost a quarter more a file: a large day has thousands. */
const read = promisify(readFile);

/** The bytes of a file, `null` where there is none: a store may be cleaned while a run goes on. Throws the system's other errors. */
export async function readIfThere(path: string): Promise<Buffer | null> {
  try {
    return await read(path);
  } catch (error) {
    if (systemCode(error) === 'ENOENT') return null;
    throw error;
  }
}
