import { Redis } from 'ioredis';
import { cleanText } from '../../pipeline/contracts/clean-text.ts';
import { checkRedis, parseRedisUrl } from '../queue/connection.ts';
import { queueNames } from '../queue/names.ts';
import { openRuns, type RunState, type WorkerState } from '../queue/runs.ts';
import { type ExitStatus, exitStatus } from './exit-status.ts';
import type { StatusOptions } from './program.ts';
import { roughDuration } from './progress.ts';
import type { Terminal } from './terminal.ts';

export interface DeliveryStatus extends RunState {
  /** Since the run began; `null` before the first frame is done. */
  readonly perMinute: number | null;
  readonly leftS: number | null;
}

/** Rate and time left of a run, from its beginning. */
export function withPace(run: RunState, nowMs: number): DeliveryStatus {
  const minutes = (nowMs - Date.parse(run.since)) / 60_000;
  const perMinute = run.done > 0 && minutes > 0 ? run.done / minutes : null;
  const leftS = perMinute === null ? null : ((run.total - run.done) / perMinute) * 60;
  return { ...run, perMinute, leftS };
}

/** Columns as wide as their widest cell; paths and names may hold anything and are made printable. */
export function table(cells: readonly (readonly string[])[]): readonly string[] {
  const rows = cells.map((row) => row.map((cell) => cleanText(cell)));
  const widths = (rows[0] ?? []).map((_, column) =>
    Math.max(...rows.map((row) => [...(row[column] ?? '')].length)),
  );
  return rows.map((row) =>
    row
      .map((cell, column) => cell.padEnd(widths[column] ?? 0))
      .join('  ')
      .trimEnd(),
  );
}

function following({ stopped, followed, host, pid }: RunState): string {
  if (stopped) return 'stopped';
  return followed ? `${host} (${pid})` : 'nobody';
}

/** What `status` prints. */
export function sentences(
  deliveries: readonly DeliveryStatus[],
  workers: readonly WorkerState[],
): readonly string[] {
  // What may be long comes last, so that the columns before it stand in a terminal of 80 columns.
  const runs = deliveries.map((each) => [
    `${each.done}/${each.total}`,
    each.perMinute === null ? '-' : each.perMinute.toFixed(1),
    each.leftS === null ? '-' : roughDuration(each.leftS * 1000),
    String(each.lost),
    following(each),
    each.delivery,
  ]);
  const machines = workers.map(({ host, pid, threads, measured, lost, perMinute, version }) =>
    [host, pid, threads, measured, lost, perMinute, version].map(String),
  );
  return [
    ...(runs.length === 0
      ? ['No delivery is under way.']
      : table([['Frames', 'A minute', 'Left', 'Failed', 'Followed by', 'Delivery'], ...runs])),
    ...(deliveries.some(({ stopped, followed }) => !stopped && !followed)
      ? ['Followed by nobody: run its command again to collect the result.']
      : []),
    '',
    ...(machines.length === 0
      ? ['No worker is running. Start one: nightrail worker --redis <url>']
      : table([['Worker', 'Process', 'Threads', 'Frames', 'Failed', 'A minute', 'Version'], ...machines])),
  ];
}

/** Shows what the queue is doing. */
export async function status(
  { redis, keyPrefix, json }: StatusOptions,
  terminal: Terminal,
): Promise<ExitStatus> {
  const address = parseRedisUrl(redis);
  await checkRedis(address);
  const connection = new Redis(address.options);
  connection.on('error', () => undefined);
  try {
    const runs = openRuns(connection, queueNames(keyPrefix, '').prefix);
    const [found, workers] = await Promise.all([runs.list(), runs.workers()]);
    const deliveries = found.map((run) => withPace(run, Date.now()));
    if (json)
      terminal.out.write(`${JSON.stringify({ schema: 'nightrail/status@1', deliveries, workers })}\n`);
    else terminal.out.write(`${sentences(deliveries, workers).join('\n')}\n`);
    return exitStatus.pass;
  } finally {
    connection.disconnect();
  }
}
