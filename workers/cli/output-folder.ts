import { mkdir, realpath, stat } from 'node:fs/promises';
import { basename, dirname, join, relative, resolve, sep } from 'node:path';
import { CodedError, codedError } from '../../pipeline/errors.ts';
import { systemCode, systemMeaning } from '../../pipeline/store/system-error.ts';
import { readWrittenList } from '../../pipeline/tasks/written-documents.ts';
import { lockOutput } from '../output-lock.ts';

/** Folders inside the output folder that Nightrail fills. */
const ownFolders = ['cache', 'garments', 'pictures', 'retouch'];
/** Files that somebody else's folder may well hold and that a run would write over. */
const tellTales = ['index.html', 'results.json'];

export interface OutputFolder {
  /** Absolute path. */
  readonly path: string;
  /** The measurement store inside. */
  readonly cache: string;
  /** Lets the next run in. */
  release(): void;
}

/** The path without links, also where its last parts do not exist yet. */
async function settled(path: string): Promise<string> {
  try {
    return await realpath(path);
  } catch (error) {
    if (systemCode(error) !== 'ENOENT' || dirname(path) === path) throw error;
    return join(await settled(dirname(path)), basename(path));
  }
}

async function refuseMixing(delivery: string, out: string): Promise<void> {
  const real = await settled(out);
  const inside = relative(real, await settled(delivery));
  if (inside === '') throw codedError('out-is-delivery', { path: out });
  const first = inside.split(sep)[0] ?? '';
  if (ownFolders.includes(first)) throw codedError('out-holds-delivery', { path: out, folder: first });
}

async function refuseForeign(out: string): Promise<void> {
  const own = await readWrittenList(out);
  for (const file of tellTales) {
    const there = await stat(join(out, file)).catch(() => null);
    if (there !== null && !own.includes(file)) throw codedError('out-holds-others', { path: out, file });
  }
}

/**
 * Makes the output folder and takes it for this run.
 *
 * @throws CodedError `out-is-delivery`, `out-holds-delivery`, `out-holds-others`, `out-in-use`, `out-not-written`.
 */
export async function takeOutputFolder(delivery: string, out: string): Promise<OutputFolder> {
  const path = resolve(out);
  try {
    await refuseMixing(resolve(delivery), path);
    await mkdir(path, { recursive: true });
    const release = await lockOutput(path);
    try {
      await refuseForeign(path);
    } catch (error) {
      release();
      throw error;
    }
    return { path, cache: join(path, 'cache'), release };
  } catch (error) {
    if (error instanceof CodedError || systemCode(error) === null) throw error;
    throw codedError('out-not-written', { path, what: systemMeaning(error) }, error);
  }
}
