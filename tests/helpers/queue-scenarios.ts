/** What can go wrong with a queue. Each scenario is run many times with other moments; see tests/faults/README.md. */
import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { openStage, type Stage, type StageSettings } from './queue-stage.ts';
import { seededRandom } from './random.ts';
import { expireAll } from './redis-server.ts';
import type { Ended, Running } from './run-nightrail.ts';
import type { StagedDelivery } from './staged-delivery.ts';

export interface Verdict {
  /** What is not as it should be; `null` where the result is the one of an undisturbed run and everything else is right. */
  readonly wrong: string | null;
  readonly mostTries: number;
}

interface Play {
  readonly stage: Stage;
  readonly delivery: StagedDelivery;
  readonly workers: readonly Running[];
  random(): number;
}

interface Scenario {
  readonly stage?: StageSettings;
  readonly held?: boolean;
  /** Workers at the start. */
  readonly workers: number;
  /** Tries of a frame that the disturbance explains: one, and one more for each time its worker or its hold was lost. */
  readonly allowedTries: number;
  /** Disturbs the run while it goes on, and says what to look for at its end. */
  disturb(play: Play): Promise<(end: Ended) => string | null>;
}

const frames = { frames: 24, framesPerGarment: 24, frameMs: 120 } as const;
const fine = (): null => null;
const hourMs = 3_600_000;

async function atRandomFrame({ delivery, random }: Play): Promise<void> {
  await delivery.untilBegun(1 + Math.floor(random() * 16));
  await delay(random() * frames.frameMs);
}

export const scenarios = {
  'a worker is killed': {
    workers: 2,
    allowedTries: 2,
    async disturb(play) {
      await atRandomFrame(play);
      play.workers[play.random() < 0.5 ? 0 : 1]?.child.kill('SIGKILL');
      return fine;
    },
  },
  'all workers are killed and others started': {
    workers: 2,
    allowedTries: 2,
    async disturb(play) {
      await atRandomFrame(play);
      for (const { child } of play.workers) child.kill('SIGKILL');
      await play.stage.crew(1);
      return fine;
    },
  },
  'Redis is killed and started again': {
    workers: 2,
    // A finished frame may be forgotten and taken up again: its measurement is in the store by then, or its hold was lost.
    allowedTries: 2,
    async disturb(play) {
      await atRandomFrame(play);
      await play.stage.redis.kill();
      await delay(play.random() * 1500);
      await play.stage.redis.restart();
      return fine;
    },
  },
  'Redis stands still for 30 s': {
    workers: 2,
    allowedTries: 2,
    async disturb(play) {
      await atRandomFrame(play);
      process.kill(play.stage.redis.pid(), 'SIGSTOP');
      // Ten times as long as a hold on a job lasts here.
      await delay(30_000);
      process.kill(play.stage.redis.pid(), 'SIGCONT');
      return fine;
    },
  },
  'the disk is full for a while': {
    stage: { diskSize: '8m' },
    workers: 2,
    allowedTries: 8,
    async disturb(play) {
      await atRandomFrame(play);
      const filler = join(play.stage.shared, 'filler');
      try {
        writeFileSync(filler, Buffer.alloc(16_000_000));
      } catch {
        // That is the point: the disk is full now.
      }
      await delay(300 + play.random() * 700);
      rmSync(filler, { force: true });
      return fine;
    },
  },
  'a frame is replaced while the run goes on': {
    workers: 2,
    allowedTries: 2,
    async disturb(play) {
      await atRandomFrame(play);
      const { path, script } = play.delivery.last;
      writeFileSync(path, JSON.stringify({ ...script, does: 'measures' }));
      return ({ err }) =>
        err.includes(`${script.name}.jpg was changed`) ? null : 'the replaced frame was not mentioned';
    },
  },
  'the clocks jump': {
    stage: { jumpingClocks: true },
    workers: 2,
    // A hold that Redis drops with a jump forward lets a second worker take the frame.
    allowedTries: 4,
    async disturb(play) {
      for (let jump = 1; jump <= 3; jump += 1) {
        await play.delivery.untilBegun(6 * jump);
        await delay(play.random() * frames.frameMs);
        const shiftMs = (play.random() - 0.5) * 2 * hourMs;
        play.stage.setClocks(shiftMs);
        if (shiftMs > 0) await expireAll(play.stage.redis.url, hourMs);
      }
      return fine;
    },
  },
  'a second submitter comes': {
    held: true,
    workers: 1,
    allowedTries: 1,
    async disturb({ delivery, random }) {
      await delivery.untilBegun(2);
      await delay(random() * 500);
      const { status, err } = await delivery.submitOnceMore().ended;
      delivery.letGo();
      const refused = status === 3 && err.includes('This delivery is being checked already');
      return () => (refused ? null : `the second submitter ended with ${status}: ${err}`);
    },
  },
} as const satisfies Record<string, Scenario>;
export type ScenarioName = keyof typeof scenarios;

/** Where two results part, with what stands around it; `null` where they are the same. */
export function differenceOf(result: string, undisturbed: string): string | null {
  if (result === undisturbed) return null;
  const at = [...result].findIndex((character, index) => character !== undisturbed[index]);
  const around = (text: string): string => text.slice(Math.max(0, at - 200), at + 200);
  return `the result is\n${around(result)}\nand undisturbed it is\n${around(undisturbed)}`;
}

/** One run of a scenario with each seed, one after the other on one stage: workers that are left serve the next run too. */
export async function* play(name: ScenarioName, seeds: readonly number[]): AsyncGenerator<Verdict> {
  const scenario: Scenario = scenarios[name];
  const stage = await openStage(scenario.stage);
  try {
    for (const seed of seeds) {
      const delivery = stage.lay({ ...frames, held: scenario.held === true });
      const workers = await stage.crew(scenario.workers);
      const submitter = delivery.submit();
      const look = await scenario.disturb({ stage, delivery, workers, random: seededRandom(seed) });
      const end = await submitter.ended;
      const mostTries = Math.max(...Object.values(delivery.tries()));
      yield { wrong: look(end) ?? (await wrongWith(end, delivery, mostTries, scenario)), mostTries };
    }
  } finally {
    await stage.dispose();
  }
}

async function wrongWith(
  { status, err }: Ended,
  delivery: StagedDelivery,
  mostTries: number,
  { allowedTries }: Scenario,
): Promise<string | null> {
  // The scripted frames do not pass: 1 is the exit status of a complete run.
  if (status !== 1) return `ended with ${status}: ${err}`;
  if (mostTries > allowedTries) return `a frame had ${mostTries} tries, and ${allowedTries} are explained`;
  return differenceOf(delivery.result(), await delivery.undisturbed());
}
