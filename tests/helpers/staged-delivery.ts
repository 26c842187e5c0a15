/** A delivery on a stage: frames that say in a journal when they are measured, and the results to compare. */
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { comparable, type Running } from './run-nightrail.ts';
import { type Script, triesIn, writeScripted } from './scripts.ts';

export interface FramesToLay {
  readonly frames: number;
  readonly framesPerGarment: number;
  readonly frameMs: number;
  /** Frames wait until `letGo` is called. */
  readonly held?: boolean;
}

export interface StagedDelivery {
  /** Script of the last frame, for whoever wants to change it. */
  readonly last: { readonly path: string; readonly script: Script };
  submit(): Running;
  /** The same delivery into another output folder. */
  submitOnceMore(): Running;
  letGo(): void;
  /** Waits until so many different frames were begun. */
  untilBegun(frames: number): Promise<void>;
  /** Tries of each frame, by name. */
  tries(): Readonly<Record<string, number>>;
  result(): string;
  /** The result of the same frames on this machine's own threads. */
  undisturbed(): Promise<string>;
}

interface Means {
  start(args: readonly string[]): Running;
  /** Options of a submitter. */
  readonly queue: readonly string[];
}

/** Undisturbed results by the content of their frames: every seed lays the same frames. */
const undisturbed = new Map<string, string>();

export function layDelivery(
  base: string,
  { frames, framesPerGarment, frameMs, held = false }: FramesToLay,
  { start, queue }: Means,
): StagedDelivery {
  const shared = join(base, 'shared');
  const [journal, go] = [join(base, 'journal'), join(base, 'go')];
  const [out, other, alone] = [join(shared, 'out'), join(shared, 'other'), join(base, 'alone')];
  for (const old of [journal, go, join(shared, 'shoot'), out, other, alone])
    rmSync(old, { recursive: true, force: true });
  // Relative to the folder in which the processes run: the frames of all stages have the same bytes.
  const scripts: Script[] = Array.from({ length: frames }, (_, index) => ({
    name: `f${String(index).padStart(5, '0')}`,
    garment: `g${String(Math.floor(index / framesPerGarment)).padStart(3, '0')}`,
    does: held ? 'waits' : 'sleeps',
    ms: frameMs,
    untilFile: '../go',
    journal: '../journal',
  }));
  const delivery = writeScripted(join(shared, 'shoot'), scripts);
  const [lastFrame, lastScript] = [delivery.frames.at(-1), scripts.at(-1)];
  if (lastFrame === undefined || lastScript === undefined) throw new Error('a delivery needs frames');
  const checkInto = (folder: string): readonly string[] => [
    ...['check', 'shoot', '--out', folder],
    ...['--decisions', join(base, 'decisions.csv')],
  ];
  const letGo = (): void => writeFileSync(go, '');

  return {
    last: { path: lastFrame.path, script: lastScript },
    submit: () => start([...checkInto(out), ...queue]),
    submitOnceMore: () => start([...checkInto(other), ...queue]),
    letGo,
    async untilBegun(count) {
      while (!existsSync(journal) || Object.keys(triesIn(journal)).length < count) await delay(10);
    },
    tries: () => triesIn(journal),
    result: () => comparable(out),
    async undisturbed() {
      const content = delivery.frames.map(({ path }) => readFileSync(path, 'utf8')).join('\n');
      const known = undisturbed.get(content);
      if (known !== undefined) return known;
      letGo();
      await start([...checkInto(alone), '--workers', '2']).ended;
      const result = comparable(alone);
      undisturbed.set(content, result);
      return result;
    },
  };
}
