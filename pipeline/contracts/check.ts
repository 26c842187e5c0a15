import type { Box } from './box.ts';
import type { Effort, Finding, FrameVerdict, Severity } from './finding.ts';
import type { Measurement } from './measurement/measurement.ts';
import type { Coverage, Drift } from './results.ts';

/**
 * What a check is. It declares the quantities it observes and the limits each of them needs, never a limit's value: values
 * stand once, in the profile. It observes numbers and words them; it never grades them (`judge/grade.ts` alone does).
 */

/** Every unit a limit can have, with the values that make sense in it. `list` units hold names instead of a number. */
export const units = {
  px: { min: 0, max: Number.POSITIVE_INFINITY, whole: false, means: 'pixels, 0 or more' },
  share: { min: 0, max: 1, whole: false, means: 'a share from 0 to 1, so 2 % is 0.02' },
  times: { min: 0, max: Number.POSITIVE_INFINITY, whole: false, means: 'a ratio, 0 or more' },
  s: { min: 0, max: Number.POSITIVE_INFINITY, whole: false, means: 'seconds, so 1/200 s is 0.005' },
  'f-number': { min: 0, max: Number.POSITIVE_INFINITY, whole: false, means: 'an f-number, so f/2 is 2' },
  ISO: { min: 0, max: Number.POSITIVE_INFINITY, whole: false, means: 'an ISO speed' },
  frames: { min: 0, max: Number.POSITIVE_INFINITY, whole: true, means: 'a whole number of frames' },
  people: { min: 0, max: Number.POSITIVE_INFINITY, whole: true, means: 'a whole number of people' },
  settings: { min: 0, max: Number.POSITIVE_INFINITY, whole: true, means: 'a whole number of settings' },
  bits: { min: 0, max: 65, whole: true, means: 'a whole number of differing bits out of 64' },
  mired: { min: 0, max: Number.POSITIVE_INFINITY, whole: false, means: 'mired, 0 or more' },
  Duv: { min: 0, max: 0.5, whole: false, means: 'a distance in CIE 1960 uv, so a usual one is below 0.02' },
  CIEDE2000: { min: 0, max: 100, whole: false, means: 'a colour difference, 0 or more' },
  stops: {
    min: Number.NEGATIVE_INFINITY,
    max: Number.POSITIVE_INFINITY,
    whole: false,
    means: 'stops of linear light, negative where darker',
  },
} as const;
export type Unit = keyof typeof units;

/** Units whose value is a list of names out of a fixed set. */
export type ListUnit = 'format' | 'colour space' | 'view or crop' | 'place';

/** One limit as the profile states it. `null`: this level is never reached. */
export interface Limit {
  readonly value: number | null;
  readonly unit: Unit;
  /** A standard or paper with its citation, `common practice`, or the profile that set it. */
  readonly source: string;
}

/** A number which may lie too far above or below its limits. */
export interface NumericQuantity {
  readonly bad: 'above' | 'below';
  readonly unit: Unit;
  /** What the number is, in words that a profile's author understands. */
  readonly meaning: string;
  /** The levels a profile must give a limit for, mildest first: names out of `Check.levels`. */
  readonly levels: readonly string[];
}

/** A name which must be one of those that the delivery settings or the check itself accept. It has no limit of its own. */
interface NamedQuantity {
  readonly bad: 'outside';
  readonly unit: ListUnit;
  readonly meaning: string;
  /** Which names pass, in words. */
  readonly unless: string;
  readonly severity: Severity;
}
type Quantity = NumericQuantity | NamedQuantity;

/** The levels of a check that names no others. */
export const standardLevels = {
  note: 'note',
  unmeasured: 'unmeasured',
  cleanup: 'cleanup',
  reject: 'reject',
} as const satisfies Readonly<Record<string, Severity>>;

export interface CheckMeta {
  /** Kebab-case noun in the failing state; the file's name. */
  readonly id: string;
  /** Few words, for tables and for findings of what could not be measured. */
  readonly title: string;
  /** What it looks at and why that matters to a store: one sentence. */
  readonly what: string;
  readonly quantities: Readonly<Record<string, Quantity>>;
  /** Level name to severity, mildest first. */
  readonly levels: Readonly<Record<string, Severity>>;
}

export interface Observation {
  /** One of the check's quantities. */
  readonly quantity: string;
  readonly value: number | string;
  /** Expanded uncertainty in the quantity's unit: the value counts as beyond a limit only where it is so by more than this. */
  readonly uncertainty?: number;
  /** For a named quantity: the names that pass, and who says so. */
  readonly accepted?: { readonly names: readonly string[]; readonly source: string };
  /** For the finding: value and limit are shown multiplied by `factor`, in `unit` (a ratio shown as px). */
  readonly shown?: { readonly factor: number; readonly unit: string };
  /** Observations of one group are one matter: only the gravest becomes a finding. Default: the quantity's name. */
  readonly group?: string;
  /** Further facts for the words of the finding. */
  readonly data?: Readonly<Record<string, string | number | boolean | null>>;
  readonly region?: Box;
  /** The frames it is about, where that is not simply the frame being judged. */
  readonly frames?: readonly string[];
  /** On a set: the frame at fault. The finding then stands on that frame as well as on the set. */
  readonly atFault?: string;
}

/** Nothing could be said, and why; a note where another number stands in, `unmeasured` where a person must look. */
interface Unmeasured {
  readonly title: string;
  readonly detail: string;
  readonly severity: 'unmeasured' | 'note';
}

export type Observed =
  | { readonly observations: readonly Observation[] }
  | { readonly notApplicable: string }
  | { readonly unmeasured: Unmeasured };

/** What `grade` found: the limit that was passed and how grave that is. */
export interface Graded {
  readonly level: string;
  readonly severity: Severity;
  readonly limit: number | string;
  readonly source: string;
}

export interface Words {
  readonly title: string;
  /** What was measured, with number and unit, and what to do next. */
  readonly detail: string;
  readonly effort?: Effort;
}

/** What the store asks of a delivery as a whole. */
export interface DeliverySettings {
  readonly longEdgePx: number;
  readonly longEdgeSource: string;
  readonly formats: { readonly names: readonly string[]; readonly source: string };
  readonly colourSpaces: { readonly names: readonly string[]; readonly source: string };
  /** Views and crops that every garment needs, unless its sheet says otherwise. */
  readonly required: { readonly names: readonly string[]; readonly source: string };
}

export interface FrameView {
  readonly id: string;
  readonly measurement: Measurement;
  readonly delivery: DeliverySettings;
}

export interface SetView {
  readonly garment: string;
  /** The frames that were measured, in the delivery's order. */
  readonly frames: readonly FrameView[];
  readonly drift: Drift;
  /** A limit in force, for a check that has to group frames by it. */
  limit(quantity: string, level: string): number | null;
}

/** A wider frame that a missing crop can be cut from, and the long edge that remains. */
export interface Cut {
  readonly frame: string;
  readonly longEdgePx: number;
}

/** Coverage with its reasons. Keys are items of `required`. */
export interface CoverageDetail extends Coverage {
  /** Required view to the three-quarter frame that stands in for it. */
  readonly standIns: ReadonlyMap<string, string>;
  /** Missing item to the frames that show it but are rejected. */
  readonly lost: ReadonlyMap<string, readonly string[]>;
  /** Missing item to the usable and the unreadable frames of which could not be told whether they show it. */
  readonly unsure: ReadonlyMap<string, readonly string[]>;
  /** Missing crop to the wider frame it can be cut from. */
  readonly cut: ReadonlyMap<string, Cut>;
}

export interface JudgedFrame {
  readonly id: string;
  /** `null` where the frame is unreadable. */
  readonly measurement: Measurement | null;
  readonly verdict: FrameVerdict;
  readonly findings: readonly Finding[];
}

/** A garment after its frames have their verdicts. */
export interface GarmentView {
  readonly garment: string;
  readonly frames: readonly JudgedFrame[];
  readonly coverage: CoverageDetail;
  readonly delivery: DeliverySettings;
}

interface CheckOf<Level extends string, View> {
  readonly level: Level;
  readonly meta: CheckMeta;
  observe(view: View): Observed;
  /** Words for an observation that is beyond a limit. */
  describe(observation: Observation, graded: Graded): Words;
}

/** On a file that could not be read or measured. */
export type FileCheck = CheckOf<'file', { readonly id: string; readonly reason: string }>;
/** On one frame by itself. */
export type FrameCheck = CheckOf<'frame', FrameView>;
/** On frames compared with each other, before the frames' verdicts; an observation may put a frame at fault. */
export type SetCheck = CheckOf<'set', SetView>;
/** On what is left of a garment once its frames have verdicts. */
export type GarmentCheck = CheckOf<'garment', GarmentView>;
export type Check = FileCheck | FrameCheck | SetCheck | GarmentCheck;
