/** What can go wrong with a queue. Each scenario is run many times with other moments; see tests/faults/README.md. */
import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { openStage, type Process, type Stage, type StageSettings } from './queue-stage.ts';
import { seededRandom } from './random.ts';
import type { Ended } from './run-nightrail.ts';

export interface Verdict {
  /** Exit status of the submitter whose result counts. */
  readonly status: number | null;
  readonly same: boolean;
  readonly mostTries: number;
  /** Tries that the disturbances explain: one, and one more for each time a frame's worker was lost. */
  readonly allowedTries: number;
  /** What the scenario itself looks at; `null` where it is as it should be. */
  readonly wrong: string | null;
}

interface Scenario {
  readonly settings: StageSettings;
  /** Workers at the start. */
  readonly workers: number;
  /** Arguments for Node in the workers. */
  readonly node?: readonly string[];
  /** Losses of a worker or of its hold on a job that the disturbance may cause. */
  readonly losses: number;
  disturb(
    stage: Stage,
    workers: readonly Process[],
    random: () => number,
    submitter: Process,
  ): Promise<(end: Ended) => string | null>;
}

const usual: StageSettings = { frames: 24, frameMs: 120 };
const fine = (): null => null;

async function atRandomFrame(stage: Stage, random: () => number): Promise<void> {
  await stage.untilBegun(1 + Math.floor(random() * 16));
  await delay(random() * 120);
}

export const scenarios = {
  'a worker is killed': {
    settings: usual,
    workers: 2,
    losses: 1,
    async disturb(stage, workers, random) {
      await atRandomFrame(stage, random);
      workers[random() < 0.5 ? 0 : 1]?.child.kill('SIGKILL');
      return fine;
    },
  },
  'all workers are killed and others started': {
    settings: usual,
    workers: 2,
    losses: 1,
    async disturb(stage, workers, random) {
      await atRandomFrame(stage, random);
      for (const { child } of workers) child.kill('SIGKILL');
      await stage.worker();
      return fine;
    },
  },
  'Redis is killed and started again': {
    settings: usual,
    workers: 2,
    // A finished frame may be forgotten and taken up again: its measurement is in the store by then, or its hold was lost.
    losses: 1,
    async disturb(stage, _, random) {
      await atRandomFrame(stage, random);
      await stage.redis.kill();
      await delay(random() * 1500);
      await stage.redis.restart();
      return fine;
    },
  },
  'Redis stands still for 30 s': {
    settings: usual,
    workers: 2,
    losses: 1,
    async disturb(stage, _, random) {
      await atRandomFrame(stage, random);
      process.kill(stage.redis.pid(), 'SIGSTOP');
      // Ten times as long as a hold on a job lasts here.
      await delay(30_000);
      process.kill(stage.redis.pid(), 'SIGCONT');
      return fine;
    },
  },
  'the disk is full for a while': {
    settings: { ...usual, diskSize: '8m' },
    workers: 2,
    losses: 7,
    async disturb(stage, _, random) {
      await atRandomFrame(stage, random);
      const filler = join(stage.shared, 'filler');
      try {
        writeFileSync(filler, Buffer.alloc(16_000_000));
      } catch {
        // That is the point: the disk is full now.
      }
      await delay(300 + random() * 700);
      rmSync(filler, { force: true });
      return fine;
    },
  },
  'a frame is replaced while the run goes on': {
    settings: usual,
    workers: 2,
    losses: 1,
    async disturb(stage, _, random) {
      await atRandomFrame(stage, random);
      const newer = {
        name: 'f023',
        does: 'measures',
        journal: stage.journal,
        ms: Math.ceil(random() * 1000),
      };
      writeFileSync(join(stage.shared, 'shoot', 'dress', 'f023.jpg'), JSON.stringify(newer));
      return ({ err }) =>
        err.includes('f023.jpg was changed') ? null : 'the replaced frame was not mentioned';
    },
  },
  'the clocks of the workers jump': {
    settings: usual,
    workers: 2,
    node: ['--import', new URL('./jumping-clock.mjs', import.meta.url).href],
    losses: 1,
    disturb: async () => fine,
  },
  'a second submitter comes': {
    settings: { ...usual, held: true },
    workers: 1,
    losses: 0,
    async disturb(stage, _, random) {
      await stage.untilBegun(2);
      await delay(random() * 500);
      const { status, err } = await stage.submit('other').ended;
      stage.letGo();
      const refused = status === 3 && err.includes('This delivery is being checked already');
      return () => (refused ? null : `the second submitter ended with ${status}: ${err}`);
    },
  },
} as const satisfies Record<string, Scenario>;
export type ScenarioName = keyof typeof scenarios;

/** Where two results part, with what stands around it; `null` where they are the same. */
function differenceOf(result: string, undisturbed: string): string | null {
  if (result === undisturbed) return null;
  const at = [...result].findIndex((character, index) => character !== undisturbed[index]);
  const around = (text: string): string => text.slice(Math.max(0, at - 200), at + 200);
  return `the result is\n${around(result)}\nand undisturbed it is\n${around(undisturbed)}`;
}

/** One run of a scenario with one seed. */
export async function play(name: ScenarioName, seed: number): Promise<Verdict> {
  const scenario: Scenario = scenarios[name];
  const random = seededRandom(seed);
  const stage = await openStage(scenario.settings);
  try {
    const workers = await Promise.all(
      Array.from({ length: scenario.workers }, () => stage.worker(scenario.node)),
    );
    const submitter = stage.submit();
    const look = await scenario.disturb(stage, workers, random, submitter);
    const end = await submitter.ended;
    const mostTries = stage.mostTries();
    const difference = end.status === 1 ? differenceOf(stage.result(), await stage.undisturbed()) : null;
    const wrong = look(end) ?? (end.status === 1 ? difference : `ended with ${end.status}: ${end.err}`);
    return {
      status: end.status,
      same: end.status === 1 && difference === null,
      mostTries,
      allowedTries: 1 + scenario.losses,
      wrong,
    };
  } finally {
    await stage.dispose();
  }
}
