/**
 * The loop of a watch: look at the folder, measure what is complete, tell what is new, and wait for an event or for the next look.
 * Every wait counts on a clock that only goes forward, so a machine whose time is set meanwhile misses nothing.
 */
import type { DeliveredFrame, Delivery } from '../../pipeline/contracts/delivery.ts';
import { count } from '../../pipeline/contracts/wording.ts';
import type { FrameOutcome } from '../../pipeline/contracts/work.ts';
import { type Bell, createBell } from './bell.ts';
import { createFrameLedger } from './frame-ledger.ts';
import { createSettling } from './settling.ts';

/** A copy writes without a pause this long; a slower one is found cut off when it is decoded, and measured again once it goes on. */
const settleMs = 200;
/** A frame that cannot be read is told of only when nobody has written to it for this long: most likely it is still on its way. */
const patienceMs = 10_000;
/** Time between two looks where no event comes, as from network storage. */
const rescanMs = 1000;
/** Looks may take at most one part of the time in this many while nothing happens, and in the second number while files arrive. */
const restingShare = 50;
const arrivingShare = 5;
/** Longest wait for all that: one slow look must not leave the watch blind for minutes. */
const longestGapMs = 10_000;

/** What a look at the folder found: its frames with the stamps of their files, or a sentence why it cannot be seen. */
export type Look =
  | {
      readonly delivery: Delivery;
      readonly stamps: ReadonlyMap<string, string | null>;
      /** Frames that came or were written to since the last look and end as a picture does. */
      readonly whole: ReadonlySet<string>;
    }
  | { readonly away: string };

/** What changed since the last time, and all that is known now. */
export interface News {
  /** The delivery as it lies in the folder, without frames that are still on their way. */
  readonly delivery: Delivery;
  /** Frames measured since, as they were measured. */
  readonly measured: readonly FrameOutcome[];
  /** Those of `measured` that lay in the folder when the watch began. */
  readonly backlog: ReadonlySet<string>;
  /** Frames that are no longer there. */
  readonly gone: readonly string[];
  /** Frames still to be measured. */
  readonly open: number;
}

export interface WatchParts {
  look(): Promise<Look>;
  measure(frame: DeliveredFrame): Promise<FrameOutcome>;
  tell(news: News): Promise<void>;
  say(sentence: string): void;
  readonly bell: Bell;
  readonly atOnce: number;
  nowMs(): number;
}

/** The end of a watch: the folder as it was last seen, `null` where no frame ever came, and what is known of its frames. */
export interface Watched {
  readonly delivery: Delivery | null;
  readonly outcomes: ReadonlyMap<string, FrameOutcome>;
}

/** Only these frames, and the garments that have any of them. */
function narrowed(delivery: Delivery, ids: ReadonlyMap<string, unknown>): Delivery {
  const garments = delivery.garments.map((garment) => ({
    ...garment,
    frames: garment.frames.filter((id) => ids.has(id)),
  }));
  return {
    ...delivery,
    garments: garments.filter(({ frames }) => frames.length > 0),
    frames: delivery.frames.filter(({ id }) => ids.has(id)),
  };
}

/** Watches until it is asked to stop, then measures what is there, whole or not, and returns. */
export async function watchFolder(parts: WatchParts, stop: AbortSignal): Promise<Watched> {
  const { bell, nowMs } = parts;
  const settling = createSettling();
  const measuredBell = createBell();
  const ledger = createFrameLedger({
    ...parts,
    onEnd: () => {
      measuredBell.ring();
      bell.ring();
    },
  });
  const backlog = new Set<string>();
  let delivery: Delivery | null = null;
  let away: string | null = null;
  let gone: readonly string[] = [];
  let looks = 0;

  function beginWith({ frames }: Delivery): void {
    for (const { id } of frames) backlog.add(id);
    if (frames.length > 0) parts.say(`Judging what lies there already: ${count(frames.length, 'frame')}.`);
  }

  /** @returns how long the look took, ms. */
  async function look(mustStandMs: number): Promise<number> {
    const beganMs = nowMs();
    const found = await parts.look();
    looks += 1;
    if ('away' in found) {
      if (away !== found.away) parts.say(found.away);
      away = found.away;
      return nowMs() - beganMs;
    }
    if (away !== null && delivery !== null) parts.say('The folder is there again.');
    away = null;
    if (looks === 1) beginWith(found.delivery);
    delivery = found.delivery;
    const settled = settling.look(found.stamps, nowMs(), mustStandMs, found.whole);
    ledger.forget(settled.gone);
    gone = [...gone, ...settled.gone];
    for (const id of settled.gone) backlog.delete(id);
    const complete = new Set(settled.complete);
    const frames = delivery.frames.filter(({ id }) => complete.has(id));
    ledger.take(
      frames.filter(({ id }) => !backlog.has(id)),
      'camera',
    );
    ledger.take(
      frames.filter(({ id }) => backlog.has(id)),
      'backlog',
    );
    ledger.retry(patienceMs);
    return nowMs() - beganMs;
  }

  async function tell(): Promise<void> {
    const measured = ledger.news((id) => settling.stoodMs(id, nowMs()) >= patienceMs);
    if (delivery === null || (measured.length === 0 && gone.length === 0)) return;
    const news = { measured, backlog: new Set(backlog), gone, open: ledger.open() };
    gone = [];
    // A frame of the backlog that is written to later is news like any other.
    for (const { frameId } of measured) backlog.delete(frameId);
    await parts.tell({ ...news, delivery: narrowed(delivery, ledger.told()) });
  }

  /** The least time between two looks; what is measured meanwhile is told at once. */
  async function pause(ms: number): Promise<void> {
    const untilMs = nowMs() + ms;
    for (let leftMs = ms; leftMs > 0; leftMs = untilMs - nowMs()) {
      await measuredBell.wait(leftMs);
      await tell();
    }
  }

  stop.addEventListener('abort', () => bell.ring());
  while (!stop.aborted) {
    const tookMs = await look(settleMs);
    await tell();
    const gapMs = Math.min(longestGapMs, Math.max(settleMs / 4, arrivingShare * tookMs));
    await pause(gapMs);
    const restMs = Math.min(longestGapMs, Math.max(rescanMs, restingShare * tookMs));
    await bell.wait(settling.isWaiting() ? gapMs : restMs);
  }
  await look(0);
  do {
    // Asked for what it throws where nothing can be measured any more; the documents tell the rest.
    ledger.news(() => true);
    if (ledger.open() > 0) await bell.wait(rescanMs);
  } while (ledger.open() > 0);
  ledger.news(() => true);
  return { delivery, outcomes: ledger.all() };
}
