// The command line as it is, with threads that do what each frame's script says.
import '../../workers/typescript.js';

const { runCommandLine } = await import('../../workers/cli/run-command-line.ts');
const { quickTiming, scriptedVersion } = await import('./scripts.ts');
const work = new URL('./scripted-work.ts', import.meta.url).href;
process.exitCode = await runCommandLine(
  process.argv.slice(2),
  { out: process.stdout, err: process.stderr },
  { version: scriptedVersion, work, timing: quickTiming },
);
