/** Retouched files against what was found before: cleared, still there, or new. */
import { join, resolve } from 'node:path';
import type { Delivery } from '../contracts/delivery.ts';
import type { FrameResult, Results } from '../contracts/results.ts';
import type { FrameOutcome } from '../contracts/work.ts';
import { codedError } from '../errors.ts';
import { matchRetouched } from '../intake/match-retouched.ts';
import { walkDelivery } from '../intake/walk-delivery.ts';
import { judgeDelivery, type Measured } from '../judge/judge-delivery.ts';
import { type Rechecked, recheckFindings } from '../judge/recheck.ts';
import type { Profile } from '../profile/profile.ts';
import { readStored } from '../store/measurement-store.ts';
import { systemCode, systemMeaning } from '../store/system-error.ts';
import { type IsUnchanged, type PictureStores, unchangedPlaces } from './unchanged-places.ts';

/** Sides may differ by rounding; more than this is a cut, and places can no longer be compared. */
const sameShapeShare = 0.01;

export interface Retouched {
  /** The retouched files under the ids of their frames: to be measured like any delivery. */
  readonly delivery: Delivery;
}

/**
 * @param folder of retouched files.
 * @throws CodedError `delivery-not-found` or `nothing-to-recheck` (usage).
 */
export async function findRetouched(folder: string, results: Results): Promise<Retouched> {
  const root = resolve(folder);
  const walked = await walkDelivery(root, undefined).catch((error: unknown) => {
    if (systemCode(error) === null) throw error;
    throw codedError('delivery-not-found', { path: folder, what: systemMeaning(error) }, error);
  });
  const { fileOf, remarks } = matchRetouched(
    walked.pictures,
    results.frames.map(({ id }) => id),
  );
  if (fileOf.size === 0) throw codedError('nothing-to-recheck', { path: folder });
  const frames = results.frames.flatMap(({ id, garment }) => {
    const file = fileOf.get(id);
    return file === undefined ? [] : [{ id, garment, path: join(root, file) }];
  });
  const garments = results.garments.flatMap(({ id, coverage, columns }) => {
    const own = frames.filter(({ garment }) => garment === id).map((frame) => frame.id);
    return own.length === 0 ? [] : [{ id, frames: own, required: coverage.required, columns }];
  });
  return { delivery: { root, garments, frames, remarks: [...walked.remarks, ...remarks] } };
}

export interface RecheckedFrame {
  readonly frame: string;
  readonly garment: string;
  readonly file: string;
  readonly findings: readonly Rechecked[];
  /** What stands in the way of comparing; `null` where nothing does. */
  readonly remark: string | null;
}

function shapeRemark(before: FrameResult, now: Measured | undefined): string | null {
  if (now === undefined || !('measurement' in now)) return 'The retouched file could not be measured.';
  if (before.measurement === null) return null;
  const aspect = ({ width, height }: { readonly width: number; readonly height: number }) => width / height;
  const ratio = aspect(now.measurement.file) / aspect(before.measurement.file);
  return Math.abs(ratio - 1) > sameShapeShare
    ? 'It was cut to another shape, so places cannot be compared: look at what is called new.'
    : null;
}

/** For every retouched file the places that show the very same as its frame. */
export async function placesLeftAlone(
  results: Results,
  measured: ReadonlyMap<string, Measured>,
  stores: PictureStores,
): Promise<ReadonlyMap<string, IsUnchanged>> {
  const pairs = results.frames.map(async (frame): Promise<readonly (readonly [string, IsUnchanged])[]> => {
    const now = measured.get(frame.id);
    if (frame.measurement === null || now === undefined || !('measurement' in now)) return [];
    if (shapeRemark(frame, now) !== null) return [];
    return [[frame.id, await unchangedPlaces(frame.measurement, now.measurement, stores)]];
  });
  return new Map((await Promise.all(pairs)).flat());
}

/**
 * Judges the delivery with the retouched files in the place of their frames.
 * @param measured frame id to the retouched file's measurement.
 * @param leftAlone frame id to the places that did not change.
 */
export function compareRetouched(
  results: Results,
  { delivery }: Retouched,
  measured: ReadonlyMap<string, Measured>,
  profile: Profile,
  leftAlone: ReadonlyMap<string, IsUnchanged> = new Map(),
): readonly RecheckedFrame[] {
  // The other frames of each set stay as they were: colour and likeness are compared with them.
  const all = new Map<string, Measured>(
    results.frames.map(({ id, measurement }) => [
      id,
      measurement === null ? { reason: 'not measured before' } : { measurement },
    ]),
  );
  for (const [id, one] of measured) all.set(id, one);
  const whole: Delivery = {
    root: delivery.root,
    garments: results.garments.map(({ id, frames, coverage, columns }) => ({
      id,
      frames: [...frames],
      required: coverage.required,
      columns,
    })),
    frames: results.frames.map(({ id, garment }) => ({ id, garment, path: '' })),
    remarks: [],
  };
  const now = new Map(judgeDelivery(whole, all, profile).frames.map((frame) => [frame.id, frame]));
  const before = new Map(results.frames.map((frame) => [frame.id, frame]));
  return delivery.frames.map(({ id, garment, path }) => ({
    frame: id,
    garment,
    file: path,
    findings: recheckFindings(
      before.get(id)?.findings ?? [],
      now.get(id)?.findings ?? [],
      now.get(id)?.measurement !== null,
      leftAlone.get(id),
    ),
    remark: shapeRemark(before.get(id)!, measured.get(id)),
  }));
}

export async function storedMeasurements(
  outcomesOf: readonly FrameOutcome[],
  cache: string,
  version: string,
): Promise<ReadonlyMap<string, Measured>> {
  const found = await Promise.all(
    outcomesOf.map(async (outcome): Promise<readonly [string, Measured]> => {
      if (!outcome.ok) return [outcome.frameId, { reason: outcome.reason }];
      const stored = await readStored(cache, outcome.contentHash, version);
      if (stored?.ok) return [outcome.frameId, { measurement: stored.measurement }];
      return [outcome.frameId, { reason: stored?.reason ?? codedError('measurement-gone', {}).message }];
    }),
  );
  return new Map(found);
}
