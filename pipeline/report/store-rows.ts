import type { FrameVerdict, GarmentVerdict } from '../contracts/finding.ts';
import { frameVerdicts, garmentVerdicts } from '../contracts/finding.ts';
import type { FrameResult, GarmentResult, Results } from '../contracts/results.ts';
import { asksForWork, decisionWords, listing } from './words.ts';

/** Pictures a garment has in the store's sheet: the usual views of a catalogue page. Common practice. */
const mostPictures = 4;

const lacking = ' missing';

/** `Front view missing`, `Back view missing` as one: `Front view and back view missing`. */
export function missingTogether(titles: readonly string[]): readonly string[] {
  const lost = titles
    .filter((title) => title.endsWith(lacking))
    .map((title) => title.slice(0, -lacking.length));
  const [first, ...others] = lost;
  if (first === undefined || others.length === 0) return titles;
  const rest = others.map((title) => title.charAt(0).toLowerCase() + title.slice(1));
  return [`${listing([first, ...rest])}${lacking}`, ...titles.filter((title) => !title.endsWith(lacking))];
}

/** Why a garment does not pass, in plain words: its own findings first, then what its frames suffer from and how many of them. */
export function reasons(garment: GarmentResult, results: Results): readonly string[] {
  if (garment.verdict === 'pass') return [];
  const own = missingTogether(garment.findings.filter(asksForWork).map(({ title }) => title));
  const frames = new Map<string, Set<string>>();
  for (const frame of results.frames) {
    if (frame.garment !== garment.id) continue;
    for (const finding of frame.findings.filter(asksForWork))
      frames.set(finding.title, (frames.get(finding.title) ?? new Set()).add(frame.id));
  }
  const fromFrames = [...frames].map(
    ([title, ids]) => `${title} (${ids.size} of ${garment.frames.length} frames)`,
  );
  return [...new Set([...own, ...fromFrames])];
}

/** What people decided about a garment and its frames, each decision once. */
function decided(garment: GarmentResult, frames: readonly FrameResult[]): readonly string[] {
  const all = [...garment.findings, ...frames.flatMap(({ findings }) => findings)];
  return [
    ...new Set(
      all
        .filter(({ decision }) => decision !== undefined)
        .map((finding) => `${finding.title}. ${decisionWords(finding)}`),
    ),
  ];
}

export interface StoreRow {
  readonly garment: string;
  readonly verdict: GarmentVerdict;
  readonly frames: number;
  readonly passing: number;
  readonly delivered: readonly string[];
  readonly missing: readonly string[];
  readonly reasons: readonly string[];
  readonly decided: readonly string[];
  /** The studio's own columns, in the order of `carriedColumns`. */
  readonly carried: readonly string[];
  /** The frames that show the garment best: those that cover what is asked for, else the first usable ones. */
  readonly shown: readonly FrameResult[];
}

/** Names of the studio's own columns over all garments. */
export function carriedColumns(results: Results): readonly string[] {
  return [...new Set(results.garments.flatMap(({ columns }) => Object.keys(columns)))];
}

function shown({ coverage }: GarmentResult, frames: readonly FrameResult[]): readonly FrameResult[] {
  const covering = new Set(Object.values(coverage.covered));
  const best = frames.filter(({ id }) => covering.has(id));
  const usable = frames.filter(({ verdict }) => verdict === 'pass' || verdict === 'cleanup');
  return [...new Set([...best, ...usable, ...frames])]
    .filter(({ measurement }) => measurement !== null)
    .slice(0, best.length > 0 ? Math.min(best.length, mostPictures) : 1);
}

/** One row a garment, in the delivery's order. */
export function storeRows(results: Results): readonly StoreRow[] {
  const carried = carriedColumns(results);
  return results.garments.map((garment) => {
    const frames = results.frames.filter((frame) => frame.garment === garment.id);
    return {
      garment: garment.id,
      verdict: garment.verdict,
      frames: garment.frames.length,
      passing: frames.filter(({ verdict }) => verdict === 'pass').length,
      delivered: Object.keys(garment.coverage.covered),
      missing: garment.coverage.missing,
      reasons: reasons(garment, results),
      decided: decided(garment, frames),
      carried: carried.map((name) => garment.columns[name] ?? ''),
      shown: shown(garment, frames),
    };
  });
}

export interface Totals {
  readonly garments: readonly { readonly verdict: GarmentVerdict; readonly count: number }[];
  readonly frames: readonly { readonly verdict: FrameVerdict; readonly count: number }[];
  /** Required view or crop to the number of garments that lack it, the commonest first. */
  readonly missing: readonly { readonly view: string; readonly garments: number }[];
  /** What the delivery suffers from, the commonest first. */
  readonly faults: readonly { readonly what: string; readonly garments: number; readonly frames: number }[];
}

function faults(results: Results): Totals['faults'] {
  const found = new Map<string, { garments: Set<string>; frames: Set<string> }>();
  const at = (title: string) => {
    const entry = found.get(title) ?? { garments: new Set(), frames: new Set() };
    found.set(title, entry);
    return entry;
  };
  for (const { id, findings } of results.garments)
    for (const { title } of findings.filter(asksForWork)) at(title).garments.add(id);
  for (const { id, garment, findings } of results.frames)
    for (const { title } of findings.filter(asksForWork)) {
      at(title).garments.add(garment);
      at(title).frames.add(id);
    }
  return [...found]
    .map(([what, { garments, frames }]) => ({ what, garments: garments.size, frames: frames.size }))
    .sort((a, b) => b.garments - a.garments || b.frames - a.frames || (a.what < b.what ? -1 : 1));
}

/** The delivery in numbers. */
export function totals(results: Results): Totals {
  const missing = new Map<string, number>();
  for (const view of results.garments.flatMap(({ coverage }) => coverage.missing))
    missing.set(view, (missing.get(view) ?? 0) + 1);
  const of = <V extends string>(verdicts: readonly V[], found: readonly { readonly verdict: V }[]) =>
    verdicts.map((verdict) => ({ verdict, count: found.filter((one) => one.verdict === verdict).length }));
  return {
    garments: of(garmentVerdicts, results.garments),
    frames: of(frameVerdicts, results.frames),
    missing: [...missing]
      .map(([view, garments]) => ({ view, garments }))
      .sort((a, b) => b.garments - a.garments || (a.view < b.view ? -1 : 1)),
    faults: faults(results),
  };
}
