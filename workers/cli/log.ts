import { join } from 'node:path';
import pino, { type Logger } from 'pino';
import { codedError } from '../../pipeline/errors.ts';

export const logName = 'nightrail.log';
const levels = ['trace', 'debug', 'info', 'warn', 'error', 'silent'] as const;

/**
 * The log: `nightrail.log` in the output folder, or standard error at the level that `NIGHTRAIL_LOG` names. A worker has no
 * output folder and logs warnings to standard error.
 *
 * @throws CodedError `unknown-log-level`.
 */
export function openLog(out: string | null, level: string | undefined): Logger {
  if (level !== undefined && !levels.some((known) => known === level))
    throw codedError('unknown-log-level', { level, levels });
  const destination =
    level === undefined && out !== null
      ? pino.destination({ dest: join(out, logName), append: true, sync: true })
      : pino.destination({ dest: 2, sync: true });
  // A full disk must not end the run through its log; the documents will say that they cannot be written.
  destination.on('error', () => undefined);
  return pino({ level: level ?? (out === null ? 'warn' : 'info'), base: { pid: process.pid } }, destination);
}
