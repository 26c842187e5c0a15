/**
 * Measurements on disk by content and version: `<cache>/<sha256>-<version>.json`, pictures in a folder of the same name.
 * The JSON is written last, so that it is only there when everything is; a broken, cut or foreign file counts as missing.
 */
import { readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { Measurement } from '../contracts/measurement/measurement.ts';
import { storedSchema } from '../contracts/stored.ts';
import { writeFileAtomic } from './atomic-write.ts';
import { systemCode } from './system-error.ts';

/** What is known about one file's bytes: a measurement with its pictures, or why they cannot be measured. */
export type Stored =
  | {
      readonly ok: true;
      readonly measurement: Measurement;
      readonly evidence: readonly { readonly name: string; readonly path: string }[];
    }
  | { readonly ok: false; readonly reason: string };

export interface Evidence {
  readonly name: string;
  readonly bytes: Uint8Array;
}

const stem = (contentHash: string, version: string): string => `${contentHash}-${version}`;

/** Where a picture beside a measurement lies. */
export const evidencePath = (cache: string, contentHash: string, version: string, name: string): string =>
  join(cache, stem(contentHash, version), name);

async function readJson(path: string): Promise<unknown> {
  try {
    return JSON.parse(await readFile(path, 'utf8'));
  } catch (error) {
    if (error instanceof SyntaxError || systemCode(error) === 'ENOENT') return null;
    throw error;
  }
}

async function hasSize(path: string, bytes: number): Promise<boolean> {
  return stat(path).then(
    (found) => found.isFile() && found.size === bytes,
    () => false,
  );
}

/**
 * Looks up one file's bytes. `null`: nothing usable is stored, measure it.
 *
 * @param contentHash SHA-256 of the bytes, lower-case hex.
 * @throws The system's error where the store is there but cannot be read.
 */
export async function readStored(
  cache: string,
  contentHash: string,
  version: string,
): Promise<Stored | null> {
  const parsed = storedSchema.safeParse(await readJson(join(cache, `${stem(contentHash, version)}.json`)));
  if (!parsed.success || parsed.data.version !== version) return null;
  const stored = parsed.data;
  if (!stored.ok) return stored.contentHash === contentHash ? { ok: false, reason: stored.reason } : null;
  if (stored.measurement.contentHash !== contentHash) return null;
  const evidence = stored.evidence.map(({ name, bytes }) => ({
    name,
    bytes,
    path: evidencePath(cache, contentHash, version, name),
  }));
  const complete = await Promise.all(evidence.map(({ path, bytes }) => hasSize(path, bytes)));
  if (complete.includes(false)) return null;
  return { ok: true, measurement: stored.measurement, evidence };
}

/** Keeps a measurement and its pictures. Writing the same one twice, also at the same time, is harmless. Throws the system's error. */
export async function writeMeasured(
  cache: string,
  version: string,
  measurement: Measurement,
  evidence: readonly Evidence[],
): Promise<void> {
  const name = stem(measurement.contentHash, version);
  const stored = storedSchema.parse({
    ok: true,
    version,
    evidence: evidence.map((picture) => ({ name: picture.name, bytes: picture.bytes.byteLength })),
    measurement,
  });
  for (const picture of evidence)
    await writeFileAtomic(evidencePath(cache, measurement.contentHash, version, picture.name), picture.bytes);
  await writeFileAtomic(join(cache, `${name}.json`), `${JSON.stringify(stored)}\n`);
}

/** Keeps why these bytes cannot be measured, so that a second run need not try again. Only for what follows from the bytes alone. */
export async function writeUnmeasurable(
  cache: string,
  version: string,
  contentHash: string,
  reason: string,
): Promise<void> {
  const stored = storedSchema.parse({ ok: false, version, contentHash, reason });
  await writeFileAtomic(join(cache, `${stem(contentHash, version)}.json`), `${JSON.stringify(stored)}\n`);
}
