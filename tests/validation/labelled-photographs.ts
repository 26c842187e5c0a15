/** A folder of photographs with a sheet of labels, for the sweeps that `npm run validate -- --photos` adds. No project test needs one. */
import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { dirname, join, parse } from 'node:path';
import { parse as parseCsv } from 'csv-parse/sync';
import sharp from 'sharp';
import { z } from 'zod';
import type { Sharpness } from '../../pipeline/contracts/measurement/sharpness.ts';
import type { Regions } from '../../pipeline/contracts/regions.ts';
import { measureSharpness } from '../../pipeline/measure/sharpness.ts';
import { onceEach } from './once-each.ts';
import { look } from './scene.ts';

/** What thresholds may have been chosen on, and what they are reported on. */
export type Half = 'even' | 'odd';
export const halves: readonly Half[] = ['even', 'odd'];

const rowSchema = z.object({ file: z.string().regex(/\d\.\w+$/), eyes: z.string() });

export interface LabelledPhotograph {
  readonly path: string;
  readonly name: string;
  /** Of the number that the file's name ends with. */
  readonly half: Half;
  /** `visible` where both eyes or one can be seen; anything else says why not. */
  readonly eyes: string;
  /** A label a px, 0..255; `null` where the photograph has none. */
  readonly pixelLabels: string | null;
}

/** @param labels the sheet; pixel labels are looked for beside it, as `labels/<name>.png` */
export async function labelledPhotographs(
  folder: string,
  labels: string,
): Promise<readonly LabelledPhotograph[]> {
  const rows: readonly unknown[] = parseCsv(await readFile(labels), { columns: true, bom: true, trim: true });
  return rows.map((row) => {
    const { file, eyes } = rowSchema.parse(row);
    const { name } = parse(file);
    const png = join(dirname(labels), 'labels', `${name}.png`);
    return {
      path: join(folder, file),
      name,
      half: Number(name.at(-1)) % 2 === 0 ? 'even' : 'odd',
      eyes,
      pixelLabels: existsSync(png) ? png : null,
    };
  });
}

/** Names of the pixel labels by value: line by line `value name` in `labels.txt` beside the sheet. */
export async function pixelLabelNames(labels: string): Promise<readonly string[]> {
  const names: string[] = [];
  for (const line of (await readFile(join(dirname(labels), 'labels.txt'), 'utf8')).trim().split('\n')) {
    const [value, ...words] = line.trim().split(/\s+/);
    names[Number(value)] = words.join(' ');
  }
  return names;
}

/** Label of every px, in the size of a mask. */
export async function pixelLabelsIn(path: string, width: number, height: number): Promise<Uint8Array> {
  const resized = sharp(await readFile(path)).resize(width, height, { kernel: 'nearest', fit: 'fill' });
  return new Uint8Array(await resized.toColourspace('b-w').extractChannel(0).raw().toBuffer());
}

interface Seen {
  readonly regions: Regions;
  readonly sharpness: Sharpness;
}

/** Regions and sharpness of a photograph; measured once, whichever sweep asks. */
const seenAt = onceEach(async (path: string): Promise<Seen> => {
  const { image, regions } = await look(await readFile(path));
  return { regions, sharpness: measureSharpness(image, regions) };
});

export const seenIn = ({ path }: LabelledPhotograph): Promise<Seen> => seenAt(path);
