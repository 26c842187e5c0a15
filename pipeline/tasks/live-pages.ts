/** The pages of a day that is still being shot, written anew as frames come in. Lists and sheets wait for the end of the day. */
import type { GarmentResult, Results } from '../contracts/results.ts';
import type { FrameOutcome } from '../contracts/work.ts';
import { garmentPage } from '../report/html/garment-page.tsx';
import { renewing } from '../report/html/renewing.ts';
import { type Page, renderPages } from '../report/index.ts';
import type { Body } from '../store/atomic-write.ts';
import { type ComparedSets, openComparedSets } from './compared-sets.ts';
import { type GatheredFrame, gather, picturesOf } from './gather.ts';
import { type JudgeFacts, judgeRun } from './judge-run.ts';
import { type RunFile, writeRunFiles } from './written-documents.ts';

export interface LivePlace {
  /** Output folder, absolute. */
  readonly out: string;
  /** Folder of the measurement store. */
  readonly cache: string;
}

export interface LivePages {
  /**
   * Judges the delivery as it is now and writes what changed: the first time every page, and takes away documents of earlier
   * runs, which are about another state of the day.
   * @param measured frames measured since the last time; what was known of the others is still known.
   * @throws CodedError `out-not-written`.
   */
  write(facts: JudgeFacts, measured: readonly FrameOutcome[]): Promise<Results>;
}

/** What a garment's page tells of: measurements by the bytes they were made of, as nothing else changes them in one run. */
function contentOf(garment: GarmentResult, { frames }: Results): string {
  const own = frames.filter((frame) => frame.garment === garment.id);
  return JSON.stringify([
    garment,
    own.map((frame) => ({ ...frame, measurement: frame.measurement?.contentHash })),
  ]);
}

/** What `make` made of the same key before, where what it is made of is still the same. */
function remembering<T>(): (key: string, madeOf: string, make: () => T) => T {
  const made = new Map<string, { readonly of: string; readonly value: T }>();
  return (key, madeOf, make) => {
    const before = made.get(key);
    if (before?.of === madeOf) return before.value;
    const value = make();
    made.set(key, { of: madeOf, value });
    return value;
  };
}

export function createLivePages({ out, cache }: LivePlace): LivePages {
  const known = new Map<string, GatheredFrame>();
  const garmentPages = remembering<string>();
  const renewingPages = remembering<readonly Page[]>();
  let compared: ComparedSets | null = null;
  /** What lies in the output folder: path to body, or to the picture it is a copy of. */
  let written: ReadonlyMap<string, Body> = new Map();

  return {
    async write(facts, measured) {
      for (const [id, frame] of await gather(measured, cache, facts.version)) known.set(id, frame);
      const there = new Set(facts.delivery.frames.map(({ id }) => id));
      for (const id of [...known.keys()]) if (!there.has(id)) known.delete(id);
      compared ??= await openComparedSets(cache, facts.version);
      const results = await judgeRun(facts, known, compared.driftOf);
      await compared.keep();
      const pageOf = (garment: GarmentResult): string =>
        garmentPages(garment.id, contentOf(garment, results), () => garmentPage(garment, results));
      const files: readonly RunFile[] = [
        ...picturesOf(known),
        ...renderPages(results, false, pageOf).flatMap((page) =>
          page.path.endsWith('.html') ? renewingPages(page.path, page.body, () => renewing(page)) : [page],
        ),
      ];
      const now = new Map(files.map((file) => [file.path, 'from' in file ? file.from : file.body]));
      const isWritten = ({ path }: RunFile): boolean => written.get(path) === now.get(path);
      await writeRunFiles(
        out,
        files.filter((file) => !isWritten(file)),
        files.filter(isWritten).map(({ path }) => path),
      );
      written = now;
      return results;
    },
  };
}
