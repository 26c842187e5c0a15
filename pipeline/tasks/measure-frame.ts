/**
 * One frame, from a path to a measurement in the store: what any dispatcher's worker calls.
 * The file is read once and the very bytes that are hashed are the ones that are measured.
 */
import { createHash } from 'node:crypto';
import { readFile, stat } from 'node:fs/promises';
import type { Measurement } from '../contracts/measurement/measurement.ts';
import type { FrameOutcome, FrameTask } from '../contracts/work.ts';
import { CodedError, codedError } from '../errors.ts';
import {
  type Evidence,
  lookUpStored,
  type StoredAnswer,
  writeMeasured,
  writeUnmeasurable,
} from '../store/measurement-store.ts';
import { mayPass, systemCode, systemMeaning } from '../store/system-error.ts';

/** The slow part, as it is injected: the product's own, or a small one in the tests of dispatchers. */
export interface MeasureStep {
  readonly version: string;
  /** @throws CodedError of kind `frame` where the bytes cannot be measured. */
  measure(
    bytes: Buffer,
    contentHash: string,
  ): Promise<{
    readonly measurement: Measurement;
    readonly evidence: readonly Evidence[];
  }>;
}

type ReadFrame =
  | { readonly ok: true; readonly bytes: Buffer; readonly contentHash: string }
  | { readonly ok: false; readonly mayPass: boolean; readonly reason: string };

function notRead(what: string, passing: boolean): ReadFrame {
  return { ok: false, mayPass: passing, reason: codedError('frame-not-read', { what }).message };
}

async function readFrame(path: string): Promise<ReadFrame> {
  try {
    // A pipe or a device would keep the reader waiting for ever.
    if (!(await stat(path)).isFile()) return notRead('it is not a file', false);
    const bytes = await readFile(path);
    return { ok: true, bytes, contentHash: createHash('sha256').update(bytes).digest('hex') };
  } catch (error) {
    return notRead(systemMeaning(error), mayPass(error));
  }
}

/** What the system says about the store becomes a sentence; anything else is a fault of the program and stays as it is. */
function storeError(cache: string, error: unknown): unknown {
  if (systemCode(error) === null) return error;
  return codedError('out-not-written', { path: cache, what: systemMeaning(error) }, error);
}

async function stored(task: FrameTask, contentHash: string): Promise<StoredAnswer | null> {
  try {
    return await lookUpStored(task.cache, contentHash, task.version);
  } catch (error) {
    throw storeError(task.cache, error);
  }
}

function outcomeOf(frameId: string, contentHash: string, known: StoredAnswer): FrameOutcome {
  return known.ok
    ? { ok: true, frameId, contentHash, fromCache: true }
    : { ok: false, frameId, fromCache: true, mayPass: false, reason: known.reason };
}

/** What is known before measuring: the outcome, or the SHA-256 of bytes that nobody has measured yet. */
export type LookUp = { readonly outcome: FrameOutcome } | { readonly contentHash: string };

/**
 * The outcome without measuring anything: from the store, or because the file cannot be opened.
 *
 * @throws CodedError `out-not-written` where the store cannot be used.
 */
export async function lookUpFrame(task: FrameTask): Promise<LookUp> {
  const { frameId } = task;
  const read = await readFrame(task.path);
  if (!read.ok) return { outcome: { ...read, frameId, fromCache: false } };
  const { contentHash } = read;
  const known = await stored(task, contentHash);
  return known === null ? { contentHash } : { outcome: outcomeOf(frameId, contentHash, known) };
}

/**
 * Measures one frame, or finds that it was measured before. Bad bytes are an outcome, not an error.
 *
 * @throws CodedError `version-differs`; `out-not-written` where the store cannot be used; whatever else the step throws.
 */
export async function measureFrameBy(step: MeasureStep, task: FrameTask): Promise<FrameOutcome> {
  const { cache, frameId, version } = task;
  if (step.version !== version)
    throw codedError('version-differs', { expected: version, actual: step.version });
  const read = await readFrame(task.path);
  if (!read.ok) return { ...read, frameId, fromCache: false };
  const { bytes, contentHash } = read;
  const known = await stored(task, contentHash);
  if (known !== null) return outcomeOf(frameId, contentHash, known);

  const measured = await step.measure(bytes, contentHash).catch((error: unknown) => {
    if (error instanceof CodedError && error.kind === 'frame') return error;
    throw error;
  });
  try {
    if (measured instanceof CodedError) {
      await writeUnmeasurable(cache, version, contentHash, measured.message);
      return { ok: false, frameId, fromCache: false, mayPass: false, reason: measured.message };
    }
    await writeMeasured(cache, version, measured.measurement, measured.evidence);
  } catch (error) {
    throw storeError(cache, error);
  }
  return { ok: true, frameId, contentHash, fromCache: false };
}
