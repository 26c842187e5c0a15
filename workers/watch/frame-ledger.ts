/** The frames of a watched folder: which are to be measured, which are in hand, what came out, and what of it was told already. */
import type { DeliveredFrame } from '../../pipeline/contracts/delivery.ts';
import type { FrameOutcome } from '../../pipeline/contracts/work.ts';

interface Known {
  readonly frame: DeliveredFrame;
  readonly outcome: FrameOutcome;
  readonly atMs: number;
  told: boolean;
}

export interface LedgerParts {
  measure(frame: DeliveredFrame): Promise<FrameOutcome>;
  /** Frames measured at once. */
  readonly atOnce: number;
  nowMs(): number;
  /** Called whenever a measurement ends. */
  onEnd(): void;
}

export interface FrameLedger {
  /** Measures these frames, also those known already: their files are other ones now. Frames that just came go before a backlog. */
  take(frames: readonly DeliveredFrame[], from: 'camera' | 'backlog'): void;
  forget(ids: readonly string[]): void;
  /** Measures again what a disk or network at fault kept from being read, where the last try is that long ago. */
  retry(afterMs: number): void;
  /**
   * Outcomes nobody was told of yet, each told once.
   * @param mayTell whether it is time to tell that a frame cannot be read.
   */
  news(mayTell: (id: string) => boolean): readonly FrameOutcome[];
  /** Everything told, by frame id. */
  told(): ReadonlyMap<string, FrameOutcome>;
  /** Everything measured, by frame id. */
  all(): ReadonlyMap<string, FrameOutcome>;
  /** Frames still to be measured or in hand. */
  open(): number;
}

function sameAnswer(a: FrameOutcome, b: FrameOutcome): boolean {
  return !a.ok && !b.ok && a.reason === b.reason;
}

export function createFrameLedger({ measure, atOnce, nowMs, onEnd }: LedgerParts): FrameLedger {
  const waiting = { camera: new Map<string, DeliveredFrame>(), backlog: new Map<string, DeliveredFrame>() };
  const known = new Map<string, Known>();
  /** The last taking of each frame that is not measured yet: an outcome of an earlier one is about another file. */
  const takings = new Map<string, symbol>();
  let inHand = 0;
  let failure: { readonly error: unknown } | null = null;

  function next(): DeliveredFrame | undefined {
    for (const queue of [waiting.camera, waiting.backlog])
      for (const [id, frame] of queue) {
        queue.delete(id);
        return frame;
      }
    return undefined;
  }

  function keep(frame: DeliveredFrame, outcome: FrameOutcome): void {
    const before = known.get(frame.id);
    const told = before?.told === true && sameAnswer(before.outcome, outcome);
    known.set(frame.id, { frame, outcome, atMs: nowMs(), told });
  }

  async function measureOne(frame: DeliveredFrame): Promise<void> {
    const taking = takings.get(frame.id);
    try {
      const outcome = await measure(frame);
      if (taking === undefined || takings.get(frame.id) !== taking) return;
      takings.delete(frame.id);
      keep(frame, outcome);
    } catch (error) {
      failure ??= { error };
    } finally {
      inHand -= 1;
      pump();
      onEnd();
    }
  }

  function pump(): void {
    while (inHand < atOnce && failure === null) {
      const frame = next();
      if (frame === undefined) return;
      inHand += 1;
      void measureOne(frame);
    }
  }

  function take(frames: readonly DeliveredFrame[], from: 'camera' | 'backlog'): void {
    for (const frame of frames) {
      takings.set(frame.id, Symbol(frame.id));
      waiting[from].set(frame.id, frame);
    }
    pump();
  }

  const outcomes = (which: (one: Known) => boolean): ReadonlyMap<string, FrameOutcome> =>
    new Map([...known].flatMap(([id, one]) => (which(one) ? [[id, one.outcome] as const] : [])));

  return {
    take,
    forget(ids) {
      for (const id of ids) {
        takings.delete(id);
        waiting.camera.delete(id);
        waiting.backlog.delete(id);
        known.delete(id);
      }
    },
    retry(afterMs) {
      const due = [...known.values()].filter(
        ({ frame, outcome, atMs }) =>
          !outcome.ok && outcome.mayPass && nowMs() - atMs >= afterMs && !takings.has(frame.id),
      );
      take(
        due.map(({ frame }) => frame),
        'backlog',
      );
    },
    news(mayTell) {
      if (failure !== null) throw failure.error;
      const fresh = [...known.values()].filter(
        ({ frame, outcome, told }) => !told && (outcome.ok || mayTell(frame.id)),
      );
      for (const one of fresh) one.told = true;
      return fresh.map(({ outcome }) => outcome);
    },
    told: () => outcomes(({ told }) => told),
    all: () => outcomes(() => true),
    open: () => inHand + waiting.camera.size + waiting.backlog.size,
  };
}
