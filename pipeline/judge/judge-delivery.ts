import { checks } from '../checks/index.ts';
import type {
  CoverageDetail,
  FileCheck,
  FrameCheck,
  FrameView,
  GarmentCheck,
  JudgedFrame,
  SetCheck,
} from '../contracts/check.ts';
import type { Decided } from '../contracts/decisions.ts';
import type { DeliveredGarment, Delivery } from '../contracts/delivery.ts';
import type { Finding } from '../contracts/finding.ts';
import type { Measurement } from '../contracts/measurement/measurement.ts';
import type { Drift, FrameResult, GarmentResult } from '../contracts/results.ts';
import type { Profile } from '../profile/profile.ts';
import { coverage } from './coverage.ts';
import { type DecidedFor, decideFrame, decideSet, decisionsBy, isLeftOut } from './decide.ts';
import { measureDrift, type SetFrame } from './drift.ts';
import { missingBecause } from './missing-words.ts';
import { findings, type Placed } from './run-check.ts';
import { frameVerdict, garmentVerdict } from './verdict.ts';

/** What is known of one frame: its measurement, or one sentence that says why there is none. */
export type Measured = { readonly measurement: Measurement } | { readonly reason: string };

export interface Judgement {
  /** In the delivery's order, as are `frames`. */
  readonly garments: GarmentResult[];
  readonly frames: FrameResult[];
}

/** A frame nobody reported on is not a frame that passes. */
const unreported: Measured = { reason: 'The frame was not measured: run the check again.' };

interface ActiveChecks {
  readonly file: readonly FileCheck[];
  readonly frame: readonly FrameCheck[];
  readonly set: readonly SetCheck[];
  readonly garment: readonly GarmentCheck[];
}

function activeChecks(profile: Profile): ActiveChecks {
  const on = checks.filter(({ meta }) => !settingsOf(profile, meta.id).off);
  return {
    file: checks.filter((check) => check.level === 'file'),
    frame: on.filter((check) => check.level === 'frame'),
    set: on.filter((check) => check.level === 'set'),
    garment: on.filter((check) => check.level === 'garment'),
  };
}

function settingsOf(profile: Profile, id: string) {
  const settings = profile.checks[id];
  if (settings === undefined)
    throw new RangeError(`The profile "${profile.name}" has no settings for the check ${id}.`);
  return settings;
}

const placeOf: ReadonlyMap<string, number> = new Map(checks.map(({ meta }, place) => [meta.id, place]));

/** Findings in the order of the list of checks, whatever level made them. */
function inCheckOrder(made: readonly Finding[]): readonly Finding[] {
  if (made.length < 2) return made;
  return [...made].sort((a, b) => (placeOf.get(a.check) ?? 0) - (placeOf.get(b.check) ?? 0));
}

/** How the frames of a set compare: `measureDrift`, or what it gave for the same frames before. */
export type DriftOf = (frames: readonly SetFrame[]) => Drift;

interface GarmentFrame {
  readonly id: string;
  readonly measured: Measured;
}

function judgeGarment(
  garment: DeliveredGarment,
  own: readonly GarmentFrame[],
  profile: Profile,
  active: ActiveChecks,
  decided: DecidedFor,
  driftOf: DriftOf,
): { readonly garment: GarmentResult; readonly frames: readonly FrameResult[] } {
  const { delivery } = profile;
  const limitsOf = (id: string) => settingsOf(profile, id).limits;
  const views = own.flatMap(({ id, measured }): FrameView[] =>
    'measurement' in measured ? [{ id, measurement: measured.measurement, delivery }] : [],
  );
  const drift = driftOf(views);

  const onSet = active.set.flatMap((check): readonly Placed[] => {
    const limits = limitsOf(check.meta.id);
    const limit = (quantity: string, level: string) => limits[quantity]?.[level]?.value ?? null;
    return findings(check, check.observe({ garment: garment.id, frames: views, drift, limit }), limits);
  });

  const judged = own.map(({ id, measured }): JudgedFrame => {
    const blamed = onSet.filter(({ atFault }) => atFault === id).map(({ finding }) => finding);
    if ('reason' in measured) {
      const found = active.file.flatMap((check) =>
        findings(check, check.observe({ id, reason: measured.reason }), limitsOf(check.meta.id)),
      );
      const made = decideFrame(
        found.map(({ finding }) => finding),
        id,
        garment.id,
        decided,
      );
      return {
        id,
        measurement: null,
        findings: made,
        verdict: frameVerdict({ readable: false, findings: made }),
      };
    }
    const view = { id, measurement: measured.measurement, delivery };
    const found = active.frame.flatMap((check) =>
      findings(check, check.observe(view), limitsOf(check.meta.id)).map(({ finding }) => finding),
    );
    const made = decideFrame(inCheckOrder([...found, ...blamed]), id, garment.id, decided);
    return {
      id,
      measurement: measured.measurement,
      findings: made,
      verdict: frameVerdict({ readable: true, findings: made }),
    };
  });

  const detail: CoverageDetail = coverage(garment.required ?? delivery.required.names, judged, delivery);
  const onGarment = active.garment.flatMap((check) =>
    findings(
      check,
      check.observe({ garment: garment.id, frames: judged, coverage: detail, delivery }),
      limitsOf(check.meta.id),
    ),
  );
  const onWhole = inCheckOrder([
    ...onSet.map(({ finding, atFault }) => (atFault === null ? finding : { ...finding, frames: [atFault] })),
    ...onGarment.map(({ finding }) => finding),
  ]);
  const made = [...decideSet(onWhole, garment.id, decided)];
  const { required, covered, missing, ranked } = detail;
  return {
    garment: {
      id: garment.id,
      verdict: garmentVerdict({
        findings: made,
        frames: judged.map((frame) => (isLeftOut(frame) ? 'reject' : frame.verdict)),
      }),
      frames: judged.map(({ id }) => id),
      findings: made,
      coverage: {
        required,
        covered,
        missing,
        ...(ranked && { ranked }),
        becauseMissing: missingBecause(detail, judged),
      },
      drift,
      columns: garment.columns,
    },
    frames: judged.map(({ id, verdict, findings: found, measurement }) => ({
      id,
      garment: garment.id,
      verdict,
      findings: [...found],
      measurement,
    })),
  };
}

/**
 * Judges a whole delivery: numbers and limits in, findings and verdicts out. Pure: the same input gives the same output, and no
 * file, clock or random number is touched.
 * @param measured frame id to what is known of it; a frame without an entry is unreadable.
 * @param decisions what people decided about findings; see `countsAs`.
 * @throws RangeError where a measurement holds a number that is not finite, or the profile lacks a check: faults of the program.
 */
export function judgeDelivery(
  delivery: Delivery,
  measured: ReadonlyMap<string, Measured>,
  profile: Profile,
  decisions: readonly Decided[] = [],
  driftOf: DriftOf = measureDrift,
): Judgement {
  const decided = decisionsBy(decisions);
  const active = activeChecks(profile);
  const results = delivery.garments.map((garment) =>
    judgeGarment(
      garment,
      garment.frames.map((id) => ({ id, measured: measured.get(id) ?? unreported })),
      profile,
      active,
      decided,
      driftOf,
    ),
  );
  const byId = new Map(results.flatMap(({ frames }) => frames).map((frame) => [frame.id, frame]));
  return {
    garments: results.map(({ garment }) => garment),
    frames: delivery.frames.flatMap(({ id }) => {
      const frame = byId.get(id);
      return frame === undefined ? [] : [frame];
    }),
  };
}
