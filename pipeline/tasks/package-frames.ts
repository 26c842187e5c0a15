/** Frames that pass, copied under the store's names and in its size, with their SHA-256 sums. Originals are only read. */
import { createHash } from 'node:crypto';
import { readdir, readFile } from 'node:fs/promises';
import { extname, join, relative, resolve, sep } from 'node:path';
import type { Results } from '../contracts/results.ts';
import { decodeFrame } from '../decode/decode-frame.ts';
import { storePicture } from '../decode/store-picture.ts';
import { codedError } from '../errors.ts';
import { toCsv } from '../report/csv.ts';
import { type PackagedName, packagedNames, patternFault } from '../report/package-names.ts';
import { writeFileAtomic } from '../store/atomic-write.ts';
import { systemCode, systemMeaning } from '../store/system-error.ts';

export interface PackageOptions {
  readonly results: Results;
  /** Folder of the delivery the results are about. */
  readonly delivery: string;
  /** Where the package goes: a new or empty folder. */
  readonly to: string;
  readonly pattern: string;
  /** Long edge of the delivered JPEGs, px; without it the files are copied byte for byte. */
  readonly longEdgePx?: number;
  onProgress(done: number, total: number, frame: string): void;
  readonly signal: AbortSignal;
}

interface Packaged {
  readonly files: number;
  /** A sentence for each frame that could not be packaged. */
  readonly left: readonly string[];
}

const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

async function refuseTaken(to: string, delivery: string): Promise<void> {
  const inside = relative(resolve(delivery), resolve(to));
  if (inside === '' || (!inside.startsWith(`..${sep}`) && inside !== '..' && !inside.startsWith(sep)))
    throw codedError('package-folder-taken', { path: to, what: 'it lies inside the delivery' });
  const there = await readdir(to).catch((error: unknown) => {
    if (systemCode(error) === 'ENOENT') return [];
    throw codedError('package-folder-taken', { path: to, what: systemMeaning(error) }, error);
  });
  if (there.length > 0) throw codedError('package-folder-taken', { path: to, what: 'it is not empty' });
}

interface Line {
  readonly path: string;
  readonly sum: string;
  readonly cells: readonly (string | number)[];
}

async function packageOne(
  { frame, garment, path }: PackagedName,
  { delivery, to, longEdgePx }: PackageOptions,
): Promise<Line | string> {
  const bytes = await readFile(join(delivery, frame.id)).catch((error: unknown) => systemMeaning(error));
  if (typeof bytes === 'string') return `${frame.id} was left out: ${bytes}.`;
  const { measurement } = frame;
  if (measurement === null || sha256(bytes) !== measurement.contentHash)
    return `${frame.id} was left out: it has changed since it was checked. Check the delivery again.`;
  const made =
    longEdgePx === undefined
      ? { jpeg: bytes, ...measurement.file }
      : await storePicture((await decodeFrame(bytes)).image, longEdgePx);
  await writeFileAtomic(join(to, path), made.jpeg);
  const sum = sha256(made.jpeg);
  const { view, crop } = measurement.framing;
  return {
    path,
    sum,
    cells: [
      garment.id,
      garment.verdict,
      frame.id,
      path,
      view,
      crop,
      made.width,
      made.height,
      made.jpeg.length,
      sum,
    ],
  };
}

const header = [
  'garment',
  'verdict',
  'frame',
  'file',
  'view',
  'crop',
  'width px',
  'height px',
  'bytes',
  'sha256',
];

/**
 * Writes the frames, `manifest.csv`, and `sha256sums.txt` in the form that `sha256sum -c` checks.
 *
 * @throws CodedError `package-name-wrong`, `package-folder-taken` (usage), `out-not-written`, `stopped`.
 */
export async function packageFrames(options: PackageOptions): Promise<Packaged> {
  const { results, delivery, to, pattern, longEdgePx, onProgress, signal } = options;
  const columns = [...new Set(results.garments.flatMap((garment) => Object.keys(garment.columns)))];
  const what = patternFault(pattern, columns);
  if (what !== null) throw codedError('package-name-wrong', { pattern, what });
  await refuseTaken(to, delivery);
  const names = packagedNames(results, pattern, ({ id }) =>
    longEdgePx === undefined ? extname(id).toLowerCase() : '.jpg',
  );
  const lines: Line[] = [];
  const left: string[] = [];
  try {
    for (const [index, name] of names.entries()) {
      if (signal.aborted) throw codedError('stopped', { done: index, total: names.length });
      const line = await packageOne(name, options);
      if (typeof line === 'string') left.push(line);
      else lines.push(line);
      onProgress(index + 1, names.length, name.frame.id);
    }
    // Last: a package without its manifest is not whole.
    await writeFileAtomic(
      join(to, 'sha256sums.txt'),
      lines.map(({ sum, path }) => `${sum}  ${path}\n`).join(''),
    );
    await writeFileAtomic(
      join(to, 'manifest.csv'),
      toCsv(
        header,
        lines.map(({ cells }) => cells),
      ),
    );
  } catch (error) {
    if (systemCode(error) === null) throw error;
    throw codedError('out-not-written', { path: to, what: systemMeaning(error) }, error);
  }
  return { files: lines.length, left };
}
