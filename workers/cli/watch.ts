/** On set: frames judged as they arrive, and every document at the end. */
import { hostname } from 'node:os';
import { join, resolve } from 'node:path';
import type { Logger } from 'pino';
import { CodedError, codedError } from '../../pipeline/errors.ts';
import type { DecisionSheet } from '../../pipeline/intake/decisions.ts';
import { measurementVersion } from '../../pipeline/measure/version.ts';
import { loadProfile } from '../../pipeline/profile/load-profile.ts';
import type { Profile } from '../../pipeline/profile/profile.ts';
import { sweepTemporaries } from '../../pipeline/store/atomic-write.ts';
import type { JudgeFacts } from '../../pipeline/tasks/judge-run.ts';
import { createLivePages } from '../../pipeline/tasks/live-pages.ts';
import { createFramePool } from '../pool/frame-pool.ts';
import { measureUnlessKnown } from '../pool/measure-unless-known.ts';
import { threadBudget } from '../thread-budget.ts';
import { createBell } from '../watch/bell.ts';
import { createFolderEvents } from '../watch/folder-events.ts';
import { frameLines, garmentLines } from '../watch/lines.ts';
import { createLook } from '../watch/look.ts';
import { warmUp, warmUpFrame } from '../watch/warm-up.ts';
import { type News, type Watched, watchFolder } from '../watch/watch-folder.ts';
import { type DeliveryOptions, readAskedDecisions, readAskedDelivery } from './asked-delivery.ts';
import type { Measuring } from './check.ts';
import { completeRun } from './complete-run.ts';
import type { ExitStatus } from './exit-status.ts';
import { listenForInterrupt } from './interrupt.ts';
import { openLog } from './log.ts';
import { type OutputFolder, takeOutputFolder } from './output-folder.ts';
import { say, type Terminal } from './terminal.ts';

/** What stays the same from the first frame to the last. */
interface Session {
  readonly options: DeliveryOptions;
  readonly terminal: Terminal;
  readonly measuring: Measuring;
  readonly log: Logger;
  readonly folder: OutputFolder;
  readonly profile: Profile;
  readonly decisions: DecisionSheet;
  readonly startedAt: Date;
}

function factsOf({
  options,
  measuring,
  profile,
  decisions,
  startedAt,
}: Session): Omit<JudgeFacts, 'delivery'> {
  return {
    profile,
    version: measuring.version,
    startedAt,
    host: hostname(),
    dispatch: 'pool',
    decisions,
    ...(options.clock === undefined ? {} : { clocks: options.clock }),
  };
}

/** Writes the pages and says what a crew must know, whenever something is new. */
function createTelling(session: Session): (news: News) => Promise<void> {
  const { terminal, folder, log } = session;
  const pages = createLivePages({ out: folder.path, cache: folder.cache });
  let garmentInHand: string | undefined;
  return async (news) => {
    const results = await pages.write({ ...factsOf(session), delivery: news.delivery }, news.measured);
    const last = news.measured.at(-1)?.frameId;
    garmentInHand = results.frames.find(({ id }) => id === last)?.garment ?? garmentInHand;
    log.info({ measured: news.measured.map(({ frameId }) => frameId), gone: news.gone }, 'pages written');
    const ofGarment =
      news.open > 0 || garmentInHand === undefined ? [] : garmentLines(garmentInHand, results);
    terminal.out.write([...frameLines(news, results), ...ofGarment].map((line) => `${line}\n`).join(''));
  };
}

/** Until somebody asks to stop. */
async function watchUntilAsked(session: Session): Promise<Watched> {
  const { options, terminal, measuring, log, folder } = session;
  const { cache } = folder;
  const { version } = measuring;
  const interruption = listenForInterrupt(terminal);
  const bell = createBell();
  const events = createFolderEvents(() => bell.ring(), log);
  const pool = createFramePool({
    budget: threadBudget(options.workers),
    frameTimeoutMs: options.frameTimeoutS * 1000,
    log,
    ...(measuring.work === undefined ? {} : { work: measuring.work }),
  });
  try {
    if (measuring.warmUp !== undefined)
      warmUp(pool, options.workers, version, measuring.warmUp).then(
        () => log.info('threads are warm'),
        (error: unknown) => log.warn({ err: error }, 'threads could not be warmed up'),
      );
    return await watchFolder(
      {
        look: createLook(
          options.delivery,
          resolve(options.delivery),
          () => readAskedDelivery(options),
          events,
        ),
        measure: async ({ id, path }) => {
          const outcome = await measureUnlessKnown(pool, { frameId: id, path, cache, version });
          if (outcome === null) throw new Error('a frame was given back although nobody stopped the pool');
          return outcome;
        },
        tell: createTelling(session),
        say: (sentence) => say(terminal.err, sentence),
        bell,
        atOnce: options.workers,
        nowMs: () => performance.now(),
      },
      interruption.signal,
    );
  } finally {
    events.close();
    await pool.close();
    interruption.dispose();
  }
}

async function runIn(session: Session): Promise<ExitStatus> {
  const { options, terminal, log, folder } = session;
  const beganMs = performance.now();
  log.info({ asked: options, version: session.measuring.version }, 'watch begins');
  await sweepTemporaries(folder.cache, Date.now());
  say(terminal.err, `Watching ${options.delivery}. Pages: ${join(folder.path, 'index.html')}`);
  say(terminal.err, 'Ctrl-C ends the watch and writes every document.');
  const { delivery, outcomes } = await watchUntilAsked(session);
  if (delivery === null) throw codedError('delivery-empty', { path: options.delivery });
  for (const remark of delivery.remarks) say(terminal.err, `Note: ${remark}`);
  return completeRun(
    {
      ...factsOf(session),
      delivery,
      outcomes: delivery.frames.flatMap(({ id }) => outcomes.get(id) ?? []),
      out: folder.path,
      cache: folder.cache,
      // Somebody may have filled it in meanwhile.
      decisions: await readAskedDecisions(options),
    },
    { terminal, log, json: false, beganMs },
  );
}

/**
 * Watches a folder until it is stopped, then writes what `check` would write for it.
 *
 * @returns The exit status of a complete run.
 * @throws CodedError of kind `usage` before anything is written, or where no frame came; of kind `run` where the run could not
 * be completed.
 */
export async function watch(
  options: DeliveryOptions,
  terminal: Terminal,
  measuring: Measuring = { version: measurementVersion(), warmUp: warmUpFrame },
): Promise<ExitStatus> {
  const profile = await loadProfile(options.profile ?? null);
  await readAskedDelivery(options).catch((error: unknown) => {
    // Frames are still to come.
    if (!(error instanceof CodedError) || error.code !== 'delivery-empty') throw error;
  });
  const decisions = await readAskedDecisions(options);
  const folder = await takeOutputFolder(options.delivery, options.out);
  try {
    const log = openLog(folder.path, process.env.NIGHTRAIL_LOG);
    const session = { options, terminal, measuring, log, folder, profile, decisions, startedAt: new Date() };
    try {
      return await runIn(session);
    } catch (error) {
      log.error({ err: error }, 'watch not completed');
      throw error;
    }
  } finally {
    folder.release();
  }
}
