/** Lists the files of a delivery without following links, so that no circle and no way out of the folder exists. */
import { readdir, readFile, realpath } from 'node:fs/promises';
import { join, relative, resolve, sep } from 'node:path';
import { cleanText } from '../contracts/clean-text.ts';
import { isHidden, kindOf, stemOf } from './file-kinds.ts';

export interface Walked {
  /** Paths inside the delivery with `/` between folders, in no particular order. */
  readonly pictures: readonly string[];
  readonly remarks: readonly string[];
}

interface Found {
  readonly pictures: string[];
  readonly raw: string[];
  readonly surprising: string[];
  readonly remarks: string[];
}

/**
 * @param root absolute.
 * @param out output folder of the run; left out where it lies inside the delivery.
 * @throws the operating system's error where `root` itself cannot be listed.
 */
export async function walkDelivery(root: string, out: string | undefined): Promise<Walked> {
  const found: Found = { pictures: [], raw: [], surprising: [], remarks: [] };
  const realRoot = await realpath(root);
  await walk('', { root, realRoot, out: out === undefined ? null : await settled(out) }, found);
  const developed = new Set(found.pictures.map(stemOf));
  const beside = found.raw.filter((path) => developed.has(stemOf(path)));
  const alone = found.raw.filter((path) => !developed.has(stemOf(path)));
  return {
    pictures: [...found.pictures, ...alone],
    remarks: [
      ...found.remarks.sort(),
      ...leftOut(beside, [
        'camera raw file was left out, as it lies beside a picture of the same name',
        'camera raw files were left out, as each lies beside a picture of the same name',
      ]),
      ...leftOut(found.surprising, [
        'file was left out, as its ending is not that of a picture',
        'files were left out, as their endings are not those of pictures',
      ]),
    ],
  };
}

interface Place {
  readonly root: string;
  readonly realRoot: string;
  readonly out: string | null;
}

async function walk(folder: string, place: Place, found: Found): Promise<void> {
  const entries = await readdir(join(place.root, folder), { withFileTypes: true });
  for (const entry of entries) {
    if (isHidden(entry.name)) continue;
    const path = folder === '' ? entry.name : `${folder}/${entry.name}`;
    if (entry.isSymbolicLink()) {
      found.remarks.push(await linkRemark(path, place));
    } else if (entry.isDirectory()) {
      await walkInto(path, place, found);
    } else {
      sort(entry, path, found);
    }
  }
}

async function walkInto(path: string, place: Place, found: Found): Promise<void> {
  if (join(place.realRoot, path) === place.out) return;
  if (await isEarlierReport(join(place.root, path))) {
    found.remarks.push(`The folder ${show(path)} holds the documents of an earlier run and was left out.`);
    return;
  }
  try {
    await walk(path, place, found);
  } catch (error) {
    if (codeOf(error) === null) throw error;
    found.remarks.push(
      `The folder ${show(path)} could not be opened (${codeOf(error)}): its frames are missing here. Put its permissions right and run again.`,
    );
  }
}

function sort(entry: { readonly name: string; isFile(): boolean }, path: string, found: Found): void {
  const kind = kindOf(entry.name);
  if (!entry.isFile()) {
    found.remarks.push(`${show(path)} is neither a file nor a folder and was left out.`);
  } else if (entry.name.includes('\ufffd')) {
    found.remarks.push(
      `The name of ${show(path)} is no valid text, so the file cannot be opened: rename it and run again.`,
    );
  } else if (kind === 'picture') {
    found.pictures.push(path);
  } else if (kind === 'raw') {
    found.raw.push(path);
  } else if (kind === 'surprising') {
    found.surprising.push(path);
  }
}

/** Links are never followed: what they lead to inside the delivery is counted where it lies. */
async function linkRemark(path: string, { root, realRoot }: Place): Promise<string> {
  let target: string;
  try {
    target = await realpath(join(root, path));
  } catch (error) {
    const why = codeOf(error) === 'ELOOP' ? 'leads in a circle' : 'leads nowhere';
    return `The link ${show(path)} ${why} and was left out.`;
  }
  const inside = target === realRoot || target.startsWith(realRoot + sep);
  return inside
    ? `The link ${show(path)} leads to ${target === realRoot ? 'the delivery itself' : show(relative(realRoot, target))}, which is counted where it lies.`
    : `The link ${show(path)} leads outside the delivery and was not followed: copy the files in.`;
}

/** By the schema name at the start of `results.json`. */
async function isEarlierReport(folder: string): Promise<boolean> {
  try {
    const text = await readFile(join(folder, 'results.json'), 'utf8');
    return text.slice(0, 200).includes('"nightrail/results@');
  } catch {
    // Not there or not readable: not a report, and `walk` says what else is wrong with the folder.
    return false;
  }
}

/** The real path of a folder that may not exist yet. */
async function settled(path: string): Promise<string> {
  const absolute = resolve(path);
  try {
    return await realpath(absolute);
  } catch {
    const parent = resolve(absolute, '..');
    return parent === absolute ? absolute : join(await settled(parent), relative(parent, absolute));
  }
}

/** The code of an operating system's error; `null` for any other error. */
export function codeOf(error: unknown): string | null {
  return error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : null;
}

export function show(path: string): string {
  return `"${cleanText(path, 120)}"`;
}

/** Names shown in one remark; the rest are counted. */
const namesShown = 5;

function leftOut(paths: readonly string[], [one, many]: readonly [string, string]): readonly string[] {
  if (paths.length === 0) return [];
  const sorted = [...paths].sort();
  const names = sorted.slice(0, namesShown).map(show).join(', ');
  const more = sorted.length > namesShown ? ` and ${sorted.length - namesShown} more` : '';
  return [`${paths.length} ${paths.length === 1 ? one : many}: ${names}${more}.`];
}
