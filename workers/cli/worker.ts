import type { CodedError } from '../../pipeline/errors.ts';
import { measurementVersion } from '../../pipeline/measure/version.ts';
import { createFramePool } from '../pool/frame-pool.ts';
import { checkRedis, parseRedisUrl } from '../queue/connection.ts';
import { serveMetrics } from '../queue/metrics.ts';
import { serve } from '../queue/serve.ts';
import { openSharedFolder } from '../queue/shared-folder.ts';
import { usualTiming } from '../queue/timing.ts';
import { threadBudget } from '../thread-budget.ts';
import type { Measuring } from './check.ts';
import { type ExitStatus, exitStatus } from './exit-status.ts';
import { openLog } from './log.ts';
import type { WorkerOptions } from './program.ts';
import { say, type Terminal } from './terminal.ts';

const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** Until somebody asks this process to stop, or it finds that it cannot measure; a second request ends it at once. */
function untilAsked(unfit: Promise<CodedError>): Promise<CodedError | null> {
  return new Promise((resolve) => {
    let asked = false;
    const hear = (): void => {
      if (asked) process.exit(exitStatus.incomplete);
      asked = true;
      resolve(null);
    };
    for (const name of signals) process.on(name, hear);
    unfit.then(resolve, () => undefined);
  });
}

/** Serves the queue until it is stopped. */
export async function worker(
  options: WorkerOptions,
  terminal: Terminal,
  measuring: Measuring = { version: measurementVersion() },
): Promise<ExitStatus> {
  const { threads, keyPrefix, root, frameTimeoutS, metricsPort } = options;
  const log = openLog(null, process.env.NIGHTRAIL_LOG);
  const address = parseRedisUrl(options.redis);
  await checkRedis(address);
  const { version, work, timing = usualTiming } = measuring;
  const pool = createFramePool({
    budget: threadBudget(threads),
    frameTimeoutMs: frameTimeoutS * 1000,
    log,
    ...(work === undefined ? {} : { work }),
  });
  let declareUnfit: (error: CodedError) => void = () => undefined;
  const unfit = new Promise<CodedError>((resolve) => {
    declareUnfit = resolve;
  });
  const asked = untilAsked(unfit);
  const serving = serve({
    address,
    prefix: keyPrefix,
    version,
    folder: await openSharedFolder(root),
    threads,
    timing,
    log,
    measure: (task) => pool.measure(task),
    unfit: (error) => declareUnfit(error),
  });
  const endMetrics = metricsPort === undefined ? null : await serveMetrics(metricsPort, serving.state);
  say(terminal.err, `Serving ${address.shown} with ${threads} threads, measurement version ${version}.`);
  const fault = await asked;
  if (fault === null) say(terminal.err, 'Finishing the frames in hand. Ask again to stop at once.');
  await serving.drain();
  await pool.close();
  endMetrics?.();
  if (fault !== null) throw fault;
  return exitStatus.pass;
}
