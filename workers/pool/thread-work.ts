import { writeSync } from 'node:fs';
import { inspect } from 'node:util';
import { parentPort } from 'node:worker_threads';
import { CodedError } from '../../pipeline/errors.ts';
import { type MeasureStep, measureFrameBy } from '../../pipeline/tasks/measure-frame.ts';
import { begunPipe, type ThreadReply, type ThreadRequest } from './messages.ts';

/** The work of one measuring thread. It says when it begins a frame, so that neither waiting nor a neighbour's crash counts against it. */
export function threadWork(step: MeasureStep): (request: ThreadRequest) => Promise<ThreadReply> {
  return async ({ ticket, task }) => {
    writeSync(begunPipe, `${ticket}\n`);
    parentPort?.postMessage({ started: ticket });
    try {
      return { kind: 'outcome', outcome: await measureFrameBy(step, task) };
    } catch (error) {
      const story = inspect(error);
      if (error instanceof CodedError && error.kind === 'run')
        return { kind: 'refused', code: error.code, message: error.message, story };
      return { kind: 'failed', detail: error instanceof Error ? error.message : String(error), story };
    }
  };
}
