import { readFile } from 'node:fs/promises';
import { checks } from '../checks/index.ts';
import type { Check, Limit } from '../contracts/check.ts';
import { codedError } from '../errors.ts';
import { canonicalHash } from './canonical-json.ts';
import { faults } from './faults.ts';
import { contradictions, layOver, type PartialProfile, type ProfileDocument } from './layers.ts';
import type { CheckSettings, Profile } from './profile.ts';
import { profileShape, schemaOf } from './shape.ts';

/** Every default limit of the product stands in this one file. */
const defaultFile = new URL('./default.json', import.meta.url);

async function readText(file: string | URL, shown: string): Promise<string> {
  try {
    return await readFile(file, 'utf8');
  } catch (cause) {
    const code = cause instanceof Error && 'code' in cause ? String(cause.code) : 'unknown';
    const why =
      { ENOENT: 'there is no such file', EISDIR: 'it is a folder', EACCES: 'it may not be read' }[code] ??
      `it cannot be read (${code})`;
    throw codedError('wrong-profile', { file: shown, faults: [`${why}.`] }, cause);
  }
}

/** Line and column of a JSON fault, where the parser says how far it came. */
function placeOf(text: string, message: string): string {
  const at = /position (\d+)/.exec(message)?.[1];
  if (at === undefined) return '';
  const before = text.slice(0, Number(at)).split('\n');
  return ` (line ${before.length}, column ${(before.at(-1)?.length ?? 0) + 1})`;
}

/** @throws CodedError `wrong-profile` */
function parse(text: string, shown: string): unknown {
  // A byte order mark, which some editors write, is no JSON.
  const plain = text.replace(/^\uFEFF/, '');
  try {
    return JSON.parse(plain);
  } catch (cause) {
    const message = cause instanceof Error ? cause.message : '';
    throw codedError(
      'wrong-profile',
      {
        file: shown,
        faults: [`it is not JSON${placeOf(plain, message)}: look for a missing comma or bracket.`],
      },
      cause,
    );
  }
}

/** @throws CodedError `wrong-profile` with one sentence for each fault. */
function validated(document: unknown, complete: boolean, shown: string, among: readonly Check[]): unknown {
  const shape = profileShape(among);
  // Compiling a schema takes longer than checking one document by it.
  const result = schemaOf(shape, complete).safeParse(document, { jitless: true });
  if (result.success) return result.data;
  throw codedError(
    'wrong-profile',
    { file: shown, faults: faults(shape, document, result.error) },
    result.error,
  );
}

function deepFreeze<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) {
    Object.freeze(value);
    for (const member of Object.values(value)) deepFreeze(member);
  }
  return value;
}

function settings(document: ProfileDocument, { meta }: Check): CheckSettings {
  const own = document.checks[meta.id] ?? {};
  const limits: Record<string, Readonly<Record<string, Limit>>> = {};
  for (const [name, levels] of Object.entries(own)) if (typeof levels !== 'boolean') limits[name] = levels;
  return { off: own.off ?? false, limits };
}

function profile(document: ProfileDocument, among: readonly Check[]): Profile {
  const { longEdge, formats, colourSpaces, required } = document.delivery;
  const content = {
    name: document.name,
    delivery: {
      longEdgePx: longEdge.value,
      longEdgeSource: longEdge.source,
      formats: { names: formats.value, source: formats.source },
      colourSpaces: { names: colourSpaces.value, source: colourSpaces.source },
      required: { names: required.value, source: required.source },
    },
    checks: Object.fromEntries(among.map((check) => [check.meta.id, settings(document, check)])),
  };
  return deepFreeze({ ...content, hash: canonicalHash(content) });
}

/**
 * A profile from the text of the default profile and, laid over it, that of a profile file.
 * @param layer `null` for the default profile alone; `file` is what its error sentences call it.
 * @throws CodedError `wrong-profile` (kind `usage`) with one sentence for each fault: of the default profile where it and the
 * checks disagree, else of the layer.
 */
export function buildProfile(
  defaults: string,
  layer: { readonly text: string; readonly file: string } | null,
  among: readonly Check[] = checks,
): Profile {
  const own = 'the default profile';
  const base = validated(parse(defaults, own), true, own, among) as ProfileDocument;
  const wrongDefaults = contradictions(base, among);
  if (wrongDefaults.length > 0) throw codedError('wrong-profile', { file: own, faults: wrongDefaults });
  if (layer === null) return profile(base, among);

  const part = validated(parse(layer.text, layer.file), false, layer.file, among) as PartialProfile;
  const fallback = layer.file.slice(layer.file.lastIndexOf('/') + 1).replace(/\.json$/i, '');
  const merged = layOver(base, part, typeof part.name === 'string' ? part.name : fallback);
  const wrong = contradictions(merged, among);
  if (wrong.length > 0) throw codedError('wrong-profile', { file: layer.file, faults: wrong });
  return profile(merged, among);
}

/**
 * The profile of a run.
 * @param file path of a profile file (JSON) that overrides any part of the default profile; `null` for the default alone.
 * @throws CodedError `wrong-profile` (kind `usage`): the file is missing, is no JSON or has faults, all of which are listed.
 */
export async function loadProfile(file: string | null): Promise<Profile> {
  const defaults = await readText(defaultFile, 'the default profile');
  return buildProfile(defaults, file === null ? null : { text: await readText(file, file), file });
}
