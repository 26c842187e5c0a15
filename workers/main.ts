import { runCommandLine } from './cli/run-command-line.ts';

// A reader that has seen enough (`| head`) is no fault.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});

// What a machine's users see in its list of processes: not the arguments, for the address of Redis may hold a password.
process.title = `nightrail ${process.argv[2] ?? ''}`.trim();

process.exitCode = await runCommandLine(process.argv.slice(2), { out: process.stdout, err: process.stderr });
