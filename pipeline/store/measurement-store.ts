/**
 * Measurements on disk by content and version: `<cache>/<sha256>-<version>.json`, pictures in a folder of the same name.
 * The JSON is written last, so that it is only there when everything is; a broken, cut or foreign file counts as missing.
 *
 * The file is one JSON object on three lines: a checksum of the other two, what it is about, and the measurement. What was checked
 * against the contract when it was written need not be checked again as long as the checksum holds.
 */
import { createHash } from 'node:crypto';
import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { type Measurement, measurementSchema } from '../contracts/measurement/measurement.ts';
import { type StoredHead, storedHeadSchema } from '../contracts/stored.ts';
import { writeFileAtomic } from './atomic-write.ts';
import { parseMeasurement, textOf } from './measurement-text.ts';
import { readIfThere } from './read-if-there.ts';

/** What is known about one file's bytes: a measurement with its pictures, or why they cannot be measured. */
export type Stored =
  | {
      readonly ok: true;
      readonly measurement: Measurement;
      readonly evidence: readonly { readonly name: string; readonly path: string }[];
    }
  | { readonly ok: false; readonly reason: string };

/** The same without the numbers. */
export type StoredAnswer = { readonly ok: true } | Extract<Stored, { ok: false }>;

export interface Evidence {
  readonly name: string;
  readonly bytes: Uint8Array;
}

const stem = (contentHash: string, version: string): string => `${contentHash}-${version}`;

/** Where a measurement lies. */
export const storedPath = (cache: string, contentHash: string, version: string): string =>
  join(cache, `${stem(contentHash, version)}.json`);

/** Where a picture beside a measurement lies. */
export const evidencePath = (cache: string, contentHash: string, version: string, name: string): string =>
  join(cache, stem(contentHash, version), name);

const sha256 = (bytes: Uint8Array | string): string => createHash('sha256').update(bytes).digest('hex');

const firstLine = (sum: string): string => `{"sha256":"${sum}",\n`;
const firstLineBytes = firstLine(sha256('')).length;
const lastKey = '"measurement":';

/**
 * @param measurement its text, or `null`.
 * @throws ZodError where the head breaks the contract.
 */
function fileText(head: StoredHead, measurement: string): string {
  const line = JSON.stringify(storedHeadSchema.parse(head)).slice(1, -1);
  const body = `${line},\n${lastKey}${measurement}}\n`;
  return firstLine(sha256(body)) + body;
}

/** A stored file in its parts; `null` where it is not whole or not about these bytes. */
async function readParts(
  cache: string,
  contentHash: string,
  version: string,
): Promise<{ readonly head: StoredHead; readonly measurement: Buffer } | null> {
  const file = await readIfThere(storedPath(cache, contentHash, version));
  if (file === null) return null;
  const body = file.subarray(firstLineBytes);
  if (file.toString('latin1', 0, firstLineBytes) !== firstLine(sha256(body))) return null;
  const headEnd = body.indexOf(',\n');
  const head = JSON.parse(`{${body.toString('utf8', 0, headEnd)}}`) as StoredHead;
  if (head.version !== version || head.contentHash !== contentHash) return null;
  return { head, measurement: body.subarray(headEnd + 2 + lastKey.length, -2) };
}

async function hasSize(path: string, bytes: number): Promise<boolean> {
  return stat(path).then(
    (found) => found.isFile() && found.size === bytes,
    () => false,
  );
}

/**
 * Looks up whether anything usable is known of one file's bytes, without its numbers. `null`: measure it.
 *
 * @param contentHash SHA-256 of the bytes, lower-case hex.
 * @throws The system's error where the store is there but cannot be read.
 */
export async function lookUpStored(
  cache: string,
  contentHash: string,
  version: string,
): Promise<StoredAnswer | null> {
  const head = (await readParts(cache, contentHash, version))?.head;
  if (head === undefined) return null;
  if (!head.ok) return { ok: false, reason: head.reason };
  const complete = await Promise.all(
    head.evidence.map(({ name, bytes }) => hasSize(evidencePath(cache, contentHash, version, name), bytes)),
  );
  return complete.includes(false) ? null : { ok: true };
}

/**
 * What is known of one file's bytes; `null` where that is nothing. Whether its pictures are still there, `lookUpStored` tells.
 *
 * @param contentHash SHA-256 of the bytes, lower-case hex.
 * @throws The system's error where the store is there but cannot be read.
 */
export async function readStored(
  cache: string,
  contentHash: string,
  version: string,
): Promise<Stored | null> {
  const parts = await readParts(cache, contentHash, version);
  if (parts === null) return null;
  const { head, measurement } = parts;
  if (!head.ok) return { ok: false, reason: head.reason };
  return {
    ok: true,
    measurement: parseMeasurement(measurement, head.swatchesAt),
    evidence: head.evidence.map(({ name }) => ({
      name,
      path: evidencePath(cache, contentHash, version, name),
    })),
  };
}

/**
 * The file of a measurement, whole.
 * @throws ZodError where the measurement or a picture's name breaks the contract.
 */
export function measuredFile(
  version: string,
  measurement: Measurement,
  evidence: readonly Evidence[],
): string {
  // The schema also settles the order of the keys.
  const { text, swatchesAt } = textOf(measurementSchema.parse(measurement));
  const pictures = evidence.map(({ name, bytes }) => ({ name, bytes: bytes.byteLength }));
  const { contentHash } = measurement;
  return fileText({ ok: true, version, contentHash, evidence: pictures, swatchesAt }, text);
}

/** Keeps a measurement and its pictures. Writing the same one twice, also at the same time, is harmless. Throws the system's error. */
export async function writeMeasured(
  cache: string,
  version: string,
  measurement: Measurement,
  evidence: readonly Evidence[],
): Promise<void> {
  const { contentHash } = measurement;
  const file = measuredFile(version, measurement, evidence);
  for (const { name, bytes } of evidence)
    await writeFileAtomic(evidencePath(cache, contentHash, version, name), bytes);
  await writeFileAtomic(storedPath(cache, contentHash, version), file);
}

/** Keeps why these bytes cannot be measured, so that a second run need not try again. Only for what follows from the bytes alone. */
export async function writeUnmeasurable(
  cache: string,
  version: string,
  contentHash: string,
  reason: string,
): Promise<void> {
  const file = fileText({ ok: false, version, contentHash, reason }, 'null');
  await writeFileAtomic(storedPath(cache, contentHash, version), file);
}
