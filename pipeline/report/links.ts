import type { Picture } from '../contracts/measurement/measurement.ts';
import type { Results } from '../contracts/results.ts';

/**
 * File names of the garment pages. Garment ids come from folder names and are untrusted: letters and digits of any script
 * are kept, everything else becomes `-`, and ids that would share a name get a number.
 *
 * @returns garment id to a file name without folder, unique also on file systems that ignore case.
 */
export function garmentPageNames(results: Results): ReadonlyMap<string, string> {
  const names = new Map<string, string>();
  const taken = new Set<string>();
  for (const { id } of results.garments) {
    const stem =
      id
        .normalize('NFC')
        .replace(/[^\p{L}\p{N}]+/gu, '-')
        .replace(/^-+|-+$/g, '')
        .slice(0, 80) || 'garment';
    let name = `${stem}.html`;
    for (let n = 2; taken.has(name.toLowerCase()); n += 1) name = `${stem}-${n}.html`;
    taken.add(name.toLowerCase());
    names.set(id, name);
  }
  return names;
}

/** Folder of a frame's small pictures, relative to the output folder. */
export function picturesFolder(contentHash: string): string {
  return `pictures/${contentHash.slice(0, 16)}`;
}

/** The picture of the whole frame for small places; the larger one where there is no small one. */
export function smallest(pictures: readonly Picture[]): Picture | undefined {
  return pictures.find(({ shows }) => shows === 'small') ?? pictures.find(({ shows }) => shows === 'frame');
}
