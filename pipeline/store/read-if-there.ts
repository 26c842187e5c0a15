import { readFile } from 'node:fs/promises';
import { systemCode } from './system-error.ts';

/** The bytes of a file, `null` where there is none: a store may be cleaned while a run goes on. Throws the system's other errors. */
export async function readIfThere(path: string): Promise<Buffer | null> {
  try {
    return await readFile(path);
  } catch (error) {
    if (systemCode(error) === 'ENOENT') return null;
    throw error;
  }
}
