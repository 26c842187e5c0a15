/**
 * The documents of a run on disk. A list beside them says what Nightrail wrote, so that a later run removes what it no
 * longer writes and never touches a file of anybody else.
 */
import { readdir, readFile, rm, rmdir, stat } from 'node:fs/promises';
import { dirname, isAbsolute, join, normalize, sep } from 'node:path';
import { writtenSchema } from '../contracts/stored.ts';
import { codedError } from '../errors.ts';
import { type Body, copyFileAtomic, sweepTemporaries, writeFileAtomic } from '../store/atomic-write.ts';
import { readIfThere } from '../store/read-if-there.ts';
import { systemCode, systemMeaning } from '../store/system-error.ts';

export const writtenListName = '.nightrail-documents.json';

/** Files written at once: enough to keep a disk busy, far below any limit on open files. */
const atOnce = 16;

/** One file of a run: its body, or a picture to copy from the store. Path relative to the output folder, `/` between folders. */
export type RunFile =
  | { readonly path: string; readonly body: Body }
  | { readonly path: string; readonly from: string };

function isInside(path: string): boolean {
  const plain = normalize(path);
  return !isAbsolute(plain) && plain !== '.' && plain !== '..' && !plain.startsWith(`..${sep}`);
}

/** What earlier runs wrote into this folder, as far as the list can be read. */
export async function readWrittenList(out: string): Promise<readonly string[]> {
  try {
    const parsed = writtenSchema.safeParse(JSON.parse(await readFile(join(out, writtenListName), 'utf8')));
    return parsed.success ? parsed.data.files.filter(isInside) : [];
  } catch (error) {
    if (error instanceof SyntaxError || systemCode(error) === 'ENOENT') return [];
    throw error;
  }
}

async function writeList(out: string, files: Iterable<string>): Promise<void> {
  const list = { schema: 'nightrail/documents@1', files: [...new Set(files)].sort() };
  await writeFileAtomic(join(out, writtenListName), `${JSON.stringify(list, null, 1)}\n`);
}

async function holds(path: string, bytes: Uint8Array): Promise<boolean> {
  const found = await stat(path).catch(() => null);
  if (found === null || found.size !== bytes.byteLength) return false;
  return Buffer.compare(await readFile(path), bytes) === 0;
}

async function place(out: string, file: RunFile): Promise<void> {
  const to = join(out, file.path);
  if ('from' in file) {
    const picture = await readIfThere(file.from);
    if (picture !== null && !(await holds(to, picture))) await copyFileAtomic(file.from, to);
    return;
  }
  const body = typeof file.body === 'string' ? Buffer.from(file.body) : file.body;
  // One in pieces is too large to be read for this.
  if (!(body instanceof Uint8Array && (await holds(to, body)))) await writeFileAtomic(to, body);
}

async function placeAll(out: string, files: readonly RunFile[]): Promise<void> {
  for (let start = 0; start < files.length; start += atOnce)
    await Promise.all(files.slice(start, start + atOnce).map((file) => place(out, file)));
}

/** The folders above a path, deepest first: `a/b/c.html` gives `a/b`, `a`. */
function foldersAbove(path: string): readonly string[] {
  const parts = path.split('/').slice(0, -1);
  return parts.map((_, index) => parts.slice(0, parts.length - index).join('/'));
}

async function removeStale(out: string, stale: readonly string[]): Promise<void> {
  for (const path of stale) await rm(join(out, path), { force: true });
  const folders = [...new Set(stale.flatMap(foldersAbove))].sort((a, b) => b.length - a.length);
  for (const folder of folders) {
    // One that still holds something is not ours to remove.
    const left = await readdir(join(out, folder)).catch(() => ['']);
    if (left.length === 0) await rmdir(join(out, folder));
  }
}

/**
 * Puts every file of a run in its place, each whole or not at all, and removes those of earlier runs that are no longer
 * among them. A file that is there already with the same bytes is left alone. Pictures come before the pages that show them.
 *
 * @param staying documents of an earlier call that are still right as they are.
 * @throws CodedError `out-not-written`.
 */
export async function writeRunFiles(
  out: string,
  files: readonly RunFile[],
  staying: readonly string[] = [],
): Promise<void> {
  const outside = files.find(({ path }) => !isInside(path));
  if (outside !== undefined)
    throw new Error(`a document would lie outside the output folder: ${outside.path}`);
  try {
    const paths = [...files.map(({ path }) => path), ...staying];
    const earlier = await readWrittenList(out);
    // The list first: a run that is killed half-way must not leave a document that no later run knows about.
    await writeList(out, [...earlier, ...paths]);
    for (const folder of new Set(['.', ...earlier, ...paths].map((path) => dirname(path))))
      await sweepTemporaries(join(out, folder), Date.now());
    await placeAll(
      out,
      files.filter((file) => 'from' in file),
    );
    await placeAll(
      out,
      files.filter((file) => 'body' in file),
    );
    // Compared without case: on a disk that ignores case the stale name and the new one are one file.
    const kept = new Set(paths.map((path) => path.toLowerCase()));
    await removeStale(
      out,
      earlier.filter((path) => !kept.has(path.toLowerCase())),
    );
    await writeList(out, paths);
  } catch (error) {
    if (systemCode(error) === null) throw error;
    throw codedError('out-not-written', { path: out, what: systemMeaning(error) }, error);
  }
}
