import { naturalOrder } from './natural-order.ts';

/** Which frame a retouched file comes from, by its name. */

interface MatchedFiles {
  /** Frame id to the file, both relative to their folders. */
  readonly fileOf: ReadonlyMap<string, string>;
  /** A sentence for each file that belongs to no frame, or to more than one. */
  readonly remarks: readonly string[];
}

const withoutEnding = (path: string): string =>
  path
    .replace(/\.[^./]*$/, '')
    .normalize('NFC')
    .toLowerCase();
const nameOf = (path: string): string => path.split('/').at(-1) ?? path;

/** Frames whose name the file's begins with, followed by a separator (`a-0412_retouched.tif`), the longest names only. */
function beginningsOf(file: string, frames: readonly string[]): readonly string[] {
  const name = nameOf(withoutEnding(file));
  const fitting = frames.filter((frame) => {
    const stem = nameOf(withoutEnding(frame));
    return name.startsWith(stem) && /^[-_ .(]/.test(name.slice(stem.length));
  });
  const longest = Math.max(0, ...fitting.map((frame) => nameOf(withoutEnding(frame)).length));
  return fitting.filter((frame) => nameOf(withoutEnding(frame)).length === longest);
}

/**
 * By the whole path without its ending, else by the file's name, else by the beginning of the name.
 * @param files paths inside the folder of retouched files.
 * @param frames ids of the delivery's frames.
 */
export function matchRetouched(files: readonly string[], frames: readonly string[]): MatchedFiles {
  const fileOf = new Map<string, string>();
  const remarks: string[] = [];
  for (const file of [...files].sort(naturalOrder)) {
    const fits = [
      frames.filter((frame) => withoutEnding(frame) === withoutEnding(file)),
      frames.filter((frame) => nameOf(withoutEnding(frame)) === nameOf(withoutEnding(file))),
      beginningsOf(file, frames),
    ].find((found) => found.length > 0);
    const [frame, ...others] = fits ?? [];
    if (frame === undefined)
      remarks.push(`${file} belongs to no frame of the delivery: it keeps the name of none.`);
    else if (others.length > 0)
      remarks.push(
        `${file} could be ${[frame, ...others].slice(0, 3).join(' or ')}: put it into a folder named as its garment.`,
      );
    else if (fileOf.has(frame))
      remarks.push(`${file} was left out: ${fileOf.get(frame)} stands for ${frame} already.`);
    else fileOf.set(frame, file);
  }
  return { fileOf, remarks };
}
