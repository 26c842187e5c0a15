import { mkdir, readFile, rename, writeFile } from 'node:fs/promises';
import { basename, join, relative, resolve } from 'node:path';
import { codedError } from '../errors.ts';
import { contactSheet } from './contact-sheet.ts';
import { type AccuracyFigures, type MeasuredFrame, measureAccuracy } from './figures.ts';
import { type LabelledFrame, readLabels } from './labels.ts';
import { measurePhotograph } from './measure-photograph.ts';
import { figuresText, missesText } from './text-report.ts';

export interface AccuracyOptions {
  /** Folder of the photographs. */
  readonly photos: string;
  /** Path of the labels sheet. */
  readonly labels: string;
  /** Path of the sheet of boxes. */
  readonly boxes?: string;
  /** Folder for the contact sheet and the figures as data; nothing is written where absent. */
  readonly out?: string;
  /** Report frames with even and odd numbers in their names apart: choose limits on one half, trust the other. */
  readonly halves?: boolean;
  readonly onProgress?: (done: number, total: number, file: string) => void;
  readonly signal?: AbortSignal;
}

/** The last run of digits in a file's name is its number. */
function isEven(file: string): boolean {
  const digits = file.match(/\d+/g)?.at(-1);
  return digits !== undefined && Number(digits.at(-1)) % 2 === 0;
}

async function readSheet(path: string, sheet: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (cause) {
    const problem = `${path} cannot be read (${(cause as Error).message})`;
    throw codedError('label-sheet-wrong', { sheet, problem }, cause);
  }
}

async function measureAll(
  labels: readonly LabelledFrame[],
  options: AccuracyOptions,
): Promise<readonly MeasuredFrame[]> {
  const measured: MeasuredFrame[] = [];
  for (const { file } of labels) {
    options.signal?.throwIfAborted();
    // A label names a file in the folder, never a path out of it.
    const bytes = await readFile(join(options.photos, basename(file))).catch((cause) => {
      throw codedError('labelled-frame-missing', { file, folder: options.photos }, cause);
    });
    measured.push({ file, ...(await measurePhotograph(bytes)) });
    options.onProgress?.(measured.length, labels.length, file);
  }
  return measured;
}

async function writeWhole(path: string, text: string): Promise<void> {
  await writeFile(`${path}.part`, text);
  await rename(`${path}.part`, path);
}

/**
 * Measure a labelled folder and compare: the text to print. With `out`, the contact sheet (`misses.html`) and the figures as
 * data (`accuracy.json`) are written there.
 * @throws CodedError `label-sheet-wrong` or `labelled-frame-missing` (kind `usage`), or what decoding a photograph throws.
 */
export async function runAccuracy(options: AccuracyOptions): Promise<string> {
  const labels = readLabels(
    await readSheet(options.labels, 'labels'),
    options.boxes === undefined ? null : await readSheet(options.boxes, 'boxes'),
  );
  const measured = await measureAll(labels, options);
  const all = measureAccuracy(labels, measured);
  const groups: (readonly [string, AccuracyFigures])[] = [['All frames', all]];
  if (options.halves === true) {
    const even = labels.filter(({ file }) => isEven(file));
    const odd = labels.filter(({ file }) => !isEven(file));
    groups.push(['Even file numbers', measureAccuracy(even, measured)]);
    groups.push(['Odd file numbers', measureAccuracy(odd, measured)]);
  }
  const text = [...groups.map(([title, figures]) => figuresText(title, figures)), missesText(all)];
  if (options.out !== undefined) {
    await mkdir(options.out, { recursive: true });
    const sheet = join(options.out, 'misses.html');
    const source = (file: string) =>
      relative(resolve(options.out ?? '.'), resolve(options.photos, basename(file)))
        .split(/[\\/]/)
        .map(encodeURIComponent)
        .join('/');
    await writeWhole(sheet, contactSheet(labels, measured, all.misses, source));
    await writeWhole(
      join(options.out, 'accuracy.json'),
      `${JSON.stringify(Object.fromEntries(groups), null, 2)}\n`,
    );
    text.push(`Contact sheet: ${sheet}`);
  }
  return `${text.join('\n\n')}\n`;
}
