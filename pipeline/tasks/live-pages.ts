/** The pages of a day that is still being shot, written anew as frames come in. Lists and sheets wait for the end of the day. */
import { createHash } from 'node:crypto';
import type { Results } from '../contracts/results.ts';
import type { FrameOutcome } from '../contracts/work.ts';
import { renewing } from '../report/html/renewing.ts';
import { renderPages } from '../report/index.ts';
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

const digestOf = (file: RunFile): string =>
  'from' in file ? file.from : createHash('sha256').update(file.body).digest('base64');

export function createLivePages({ out, cache }: LivePlace): LivePages {
  const known = new Map<string, GatheredFrame>();
  /** What lies in the output folder: path to digest. */
  let written: ReadonlyMap<string, string> = new Map();

  return {
    async write(facts, measured) {
      for (const [id, frame] of await gather(measured, cache, facts.version)) known.set(id, frame);
      const there = new Set(facts.delivery.frames.map(({ id }) => id));
      for (const id of [...known.keys()]) if (!there.has(id)) known.delete(id);
      const results = await judgeRun(facts, known);
      const files: readonly RunFile[] = [
        ...picturesOf(known),
        ...renderPages(results, false).flatMap((page) =>
          page.path.endsWith('.html') ? renewing(page) : [page],
        ),
      ];
      const now = new Map(files.map((file) => [file.path, digestOf(file)]));
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
