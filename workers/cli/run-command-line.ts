/** Arguments in, exit status out. Users see sentences; the log has the rest. */
import { CommanderError } from '@commander-js/extra-typings';
import { CodedError } from '../../pipeline/errors.ts';
import { toolVersion } from '../../pipeline/tasks/tool-facts.ts';
import type { CheckOptions, Measuring } from './check.ts';
import { type ExitStatus, exitStatus, statusOf } from './exit-status.ts';
import { buildProgram, type Commands } from './program.ts';
import { say, type Terminal } from './terminal.ts';

function sentenceOf(error: unknown): string {
  if (error instanceof CodedError) return error.message;
  const message = error instanceof Error ? error.message : String(error);
  return `Nightrail met a fault of its own and could not go on: ${message}. nightrail.log in the output folder has the details; what is measured so far is kept.`;
}

function report(error: unknown, { err }: Terminal): ExitStatus {
  // Commander has printed its own sentence; code 0 is help or version.
  if (error instanceof CommanderError) return error.exitCode === 0 ? exitStatus.pass : exitStatus.usage;
  say(err, sentenceOf(error));
  return statusOf(error);
}

/** A script that asked for JSON gets its answer as JSON, also where the answer is an error. */
async function check(options: CheckOptions, terminal: Terminal, measuring?: Measuring): Promise<ExitStatus> {
  const command = await import('./check.ts');
  try {
    return await command.check(options, terminal, measuring);
  } catch (error) {
    if (options.json) {
      const code = error instanceof CodedError ? error.code : null;
      const answer = {
        schema: 'nightrail/summary@1',
        status: statusOf(error),
        error: { code, message: sentenceOf(error) },
      };
      terminal.out.write(`${JSON.stringify(answer)}\n`);
    }
    throw error;
  }
}

/** @param measuring what measures, where it is not the product's own. */
export async function runCommandLine(
  args: readonly string[],
  terminal: Terminal,
  measuring?: Measuring,
): Promise<ExitStatus> {
  let status: ExitStatus = exitStatus.pass;
  // Each command loads its own code: help and a mistyped option answer at once.
  const commands: Commands = {
    check: async (options) => {
      status = await check(options, terminal, measuring);
    },
    watch: async (options) => {
      status = await (await import('./watch.ts')).watch(options, terminal, measuring);
    },
    worker: async (options) => {
      status = await (await import('./worker.ts')).worker(options, terminal, measuring);
    },
    status: async (options) => {
      status = await (await import('./status.ts')).status(options, terminal);
    },
    demo: async (options) => {
      status = await (await import('./demo.ts')).demo(options, terminal);
    },
    package: async (options) => {
      status = await (await import('./package.ts')).packageDelivery(options, terminal);
    },
    preview: async (options) => {
      status = await (await import('./preview.ts')).preview(options, terminal);
    },
    recheck: async (options) => {
      status = await (await import('./recheck.ts')).recheck(options, terminal, measuring);
    },
    accuracy: async (options) => {
      status = await (await import('./accuracy.ts')).accuracy(options, terminal);
    },
  };
  try {
    await buildProgram(commands, await toolVersion()).parseAsync(args, { from: 'user' });
    return status;
  } catch (error) {
    return report(error, terminal);
  }
}
