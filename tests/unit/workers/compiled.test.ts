import { execFile } from 'node:child_process';
import {
  appendFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { describe, expect, it } from 'vitest';
import { scratchFolder } from '../../helpers/scratch.ts';

const root = fileURLToPath(new URL('../../..', import.meta.url));
const run = promisify(execFile);

interface Copy {
  readonly folder: string;
  /** The folder of builds. */
  readonly builds: string;
  /** What the command says to a wrong option; throws where it cannot start. */
  help(): Promise<string>;
}

/** The program in a folder of its own, with the packages of this one. */
function aCopy(): Copy {
  const folder = scratchFolder();
  for (const part of ['pipeline', 'workers', 'models', 'package.json', 'tsconfig.json'])
    cpSync(join(root, part), join(folder, part), { recursive: true });
  mkdirSync(join(folder, 'node_modules'));
  for (const name of readdirSync(join(root, 'node_modules')).filter((each) => !each.startsWith('.')))
    symlinkSync(join(root, 'node_modules', name), join(folder, 'node_modules', name));
  return {
    folder,
    builds: join(folder, 'node_modules', '.cache', 'nightrail'),
    help: async () => (await run(process.execPath, [join(folder, 'workers/nightrail.js'), '--help'])).stdout,
  };
}

describe('the compiled sources', () => {
  it('are made once, also by two commands at the same time, and anew when a source changes', async () => {
    const { folder, builds, help } = aCopy();
    const [one, other] = await Promise.all([help(), help()]);
    expect(one).toContain('watch');
    expect(other).toBe(one);
    const first = readdirSync(builds);
    expect(first).toHaveLength(1);
    expect(await help()).toBe(one);
    expect(readdirSync(builds)).toEqual(first);
    appendFileSync(join(folder, 'workers/main.ts'), "\nprocess.stdout.write('changed');\n");
    expect(await help()).toContain('changed');
    expect(readdirSync(builds)).toHaveLength(2);
  });

  it('are not needed: where they cannot be kept, the sources run as they are', async () => {
    const { folder, builds, help } = aCopy();
    writeFileSync(join(folder, 'node_modules', '.cache'), 'a file where the folder should be');
    expect(await help()).toContain('watch');
    expect(existsSync(builds)).toBe(false);
  });
});
