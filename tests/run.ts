/**
 * `npm test`: types, lint, then every test project that is not a named script of its own. What the tests need from Debian is
 * found or installed first, and said. Arguments are handed to vitest.
 */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { photographsFolder, photographsPackage } from './helpers/real-photographs.ts';

const root = fileURLToPath(new URL('..', import.meta.url));
const bin = (name: string): string => join(root, 'node_modules', '.bin', name);

const needed = [
  { look: () => whereIs('redis-server'), debianPackage: 'redis-server', use: 'the queue tests' },
  { look: () => whereIs('chromium'), debianPackage: 'chromium', use: 'the page tests' },
  {
    look: () => whereIs('exiftool'),
    debianPackage: 'libimage-exiftool-perl',
    use: 'the tests of camera and sidecar metadata',
  },
  {
    look: () => whereIs('identify'),
    debianPackage: 'imagemagick',
    use: 'the tests that count px another way',
  },
  {
    look: () => (existsSync(photographsFolder) ? photographsFolder : null),
    debianPackage: photographsPackage,
    use: 'the tests on real photographs',
  },
] as const;

function whereIs(binary: string): string | null {
  const folders = [...(process.env.PATH ?? '').split(':'), '/usr/bin', '/usr/local/bin'];
  return folders.map((folder) => join(folder, binary)).find((path) => existsSync(path)) ?? null;
}

function run(command: string, args: readonly string[]): number {
  const { status, error } = spawnSync(command, args, { cwd: root, stdio: 'inherit' });
  if (error) console.error(`${command} could not be started: ${error.message}`);
  return status ?? 1;
}

/** Finds each program and folder, installs it from Debian where that is allowed, and otherwise says exactly what to type. */
function provide(): boolean {
  const missing = needed.filter(({ look, use }) => {
    const path = look();
    if (path) console.log(`Found ${path} for ${use}.`);
    return path === null;
  });
  if (missing.length === 0) return true;
  const packages = missing.map(({ debianPackage }) => debianPackage);
  const command = `apt-get update && apt-get install -y --no-install-recommends ${packages.join(' ')}`;
  if (process.getuid?.() !== 0 || whereIs('apt-get') === null) {
    console.error(
      `Missing for ${missing.map(({ use }) => use).join(' and ')}: ${packages.join(', ')}. As root, run: ${command}`,
    );
    return false;
  }
  console.log(`Installing ${packages.join(' and ')} from Debian: ${command}`);
  return run('sh', ['-c', `export DEBIAN_FRONTEND=noninteractive; ${command}`]) === 0;
}

const steps: readonly (readonly [name: string, step: () => boolean])[] = [
  ['needed programs and photographs', provide],
  ['types', () => run(bin('tsc'), ['--noEmit', '-p', '.']) === 0],
  ['lint and format', () => run(bin('biome'), ['ci', '--error-on-warnings', '.']) === 0],
  [
    'tests',
    () => {
      const vitest = join(
        dirname(createRequire(import.meta.url).resolve('vitest/package.json')),
        'vitest.mjs',
      );
      return (
        run(process.execPath, [
          vitest,
          'run',
          '--reporter=default',
          '--reporter=./tests/tally.ts',
          ...process.argv.slice(2),
        ]) === 0
      );
    },
  ],
];

const failed = steps.find(([, step]) => !step());
if (failed) {
  console.error(`Failed at: ${failed[0]}.`);
  process.exitCode = 1;
}
