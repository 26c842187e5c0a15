/** One moving preview a garment, from the pictures that its check left in the report. */
import { join } from 'node:path';
import type { Results } from '../contracts/results.ts';
import { animate, cutPieces, type Piece, type Size } from '../decode/animation.ts';
import { codedError } from '../errors.ts';
import { garmentPageNames, picturesFolder } from '../report/links.ts';
import { type PreviewFrame, previewOf } from '../report/preview-plan.ts';
import { writeFileAtomic } from '../store/atomic-write.ts';
import { readIfThere } from '../store/read-if-there.ts';
import { systemCode, systemMeaning } from '../store/system-error.ts';

/** What a catalogue page bears: the largest that the store takes, bytes. */
const mostBytes = 1_500_000;
/** Long enough to look at, short enough to stay: common practice. */
const delayMs = 900;

/** Tried one after the other until the file is small enough. */
const tries: readonly { readonly size: Size; readonly quality: number }[] = [
  { size: { width: 600, height: 900 }, quality: 82 },
  { size: { width: 600, height: 900 }, quality: 65 },
  { size: { width: 480, height: 720 }, quality: 70 },
  { size: { width: 320, height: 480 }, quality: 65 },
  { size: { width: 200, height: 300 }, quality: 60 },
];

async function pieceOf(report: string, { frame, window }: PreviewFrame): Promise<Piece | null> {
  const picture = frame.measurement?.pictures.find(({ shows }) => shows === 'frame');
  if (!frame.measurement || !picture) return null;
  const path = join(report, picturesFolder(frame.measurement.contentHash), picture.file);
  const jpeg = await readIfThere(path);
  return jpeg && { jpeg, window };
}

async function smallEnough(pieces: readonly Piece[], format: 'webp' | 'gif'): Promise<Buffer | null> {
  for (const { size, quality } of tries) {
    const made = await animate(await cutPieces(pieces, size), format, delayMs, quality);
    if (made.length <= mostBytes) return made;
  }
  return null;
}

interface Previews {
  /** Relative to the report. */
  readonly written: readonly string[];
  /** A sentence for each garment without one. */
  readonly left: readonly string[];
}

/**
 * Writes `previews/<garment>.webp`, and a GIF beside it where asked for.
 * @param report output folder of a check.
 * @throws CodedError `out-not-written`.
 */
export async function writePreviews(report: string, results: Results, gif: boolean): Promise<Previews> {
  const names = garmentPageNames(results);
  const written: string[] = [];
  const left: string[] = [];
  for (const garment of results.garments) {
    const found = await Promise.all(previewOf(garment, results).map((frame) => pieceOf(report, frame)));
    const pieces = found.filter((piece) => piece !== null);
    if (pieces.length < 2) {
      left.push(`${garment.id} has no preview: fewer than two frames of one crop pass.`);
      continue;
    }
    for (const format of gif ? (['webp', 'gif'] as const) : (['webp'] as const)) {
      const path = `previews/${names.get(garment.id)?.replace(/\.html$/, '')}.${format}`;
      const made = await smallEnough(pieces, format);
      if (made === null) {
        left.push(`${garment.id} has no ${format} preview: it would be larger than ${mostBytes / 1e6} MB.`);
        continue;
      }
      try {
        await writeFileAtomic(join(report, path), made);
      } catch (error) {
        if (systemCode(error) === null) throw error;
        throw codedError('out-not-written', { path: report, what: systemMeaning(error) }, error);
      }
      written.push(path);
    }
  }
  return { written, left };
}
