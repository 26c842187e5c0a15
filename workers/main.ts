import { runCommandLine } from './cli/run-command-line.ts';

// A reader that has seen enough (`| head`) is no fault.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});

process.exitCode = await runCommandLine(process.argv.slice(2), { out: process.stdout, err: process.stderr });
