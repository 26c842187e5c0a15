import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { buildProgram } from '../../../workers/cli/program.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

const launcher = fileURLToPath(new URL('../../../workers/nightrail.js', import.meta.url));

async function parsed(...args: string[]): Promise<unknown> {
  let asked: unknown;
  const keep = async (options: unknown): Promise<void> => {
    asked = options;
  };
  const commands = {
    check: keep,
    watch: keep,
    worker: keep,
    status: keep,
    demo: keep,
    accuracy: keep,
    package: keep,
    preview: keep,
    recheck: keep,
  };
  const program = buildProgram(commands, '1.2.3');
  const silent = { writeOut: () => undefined, writeErr: () => undefined };
  for (const command of [program, ...program.commands]) command.configureOutput(silent);
  await program.parseAsync(args, { from: 'user' });
  return asked;
}

describe('arguments', () => {
  it('reach the command under their names, with defaults', async () => {
    const args = [
      'check',
      'a b',
      '--out',
      'o',
      '--garments',
      's.csv',
      '--profile',
      'p.json',
      '--workers',
      '3',
    ];
    expect(await parsed(...args, '--frame-timeout', '90', '--json')).toEqual({
      delivery: 'a b',
      out: 'o',
      garments: 's.csv',
      profile: 'p.json',
      workers: 3,
      frameTimeoutS: 90,
      json: true,
      root: '/',
      keyPrefix: 'nightrail',
      urgent: [],
    });
    const queue = ['--redis', 'redis://desk', '--root', '/mnt', '--urgent', 'coat', 'dress'];
    expect(await parsed('check', 'd', '--out', 'o', ...queue)).toMatchObject({
      redis: 'redis://desk',
      root: '/mnt',
      urgent: ['coat', 'dress'],
    });
    expect(await parsed('worker', '--redis', 'redis://desk', '--threads', '4')).toEqual({
      redis: 'redis://desk',
      threads: 4,
      root: '/',
      keyPrefix: 'nightrail',
      frameTimeoutS: 60,
    });
    expect(await parsed('check', 'd', '--out', 'o')).toMatchObject({ frameTimeoutS: 60, json: false });
    expect(await parsed('demo')).toEqual({ out: 'nightrail-demo' });
    expect(await parsed('accuracy', 'p', '--labels', 'l.csv')).toEqual({ photos: 'p', labels: 'l.csv' });
  });

  it.each([
    ['check', 'd', '--out', 'o', '--workers', '0'],
    ['check', 'd', '--out', 'o', '--workers', '2.5'],
    ['check', 'd', '--out', 'o', '--workers', '1e2'],
    ['check', 'd', '--out', 'o', '--frame-timeout', 'long'],
    ['check', 'd', 'e', '--out', 'o'],
    ['check', '--out', 'o'],
    ['worker'],
    ['worker', '--redis', 'redis://desk', '--metrics-port', '70000'],
    ['status'],
  ])('are refused where they are wrong: %s %s %s %s %s %s', async (...args) => {
    await expect(parsed(...args.filter((arg) => arg !== undefined))).rejects.toThrow();
  });
});

describe('the launcher', () => {
  function run(cwd: string, command: string, ...args: string[]) {
    const { status, stdout, stderr } = spawnSync(command, args, { cwd, encoding: 'utf8' });
    return { status, stdout, stderr };
  }

  it('runs from another folder, through a link, and reads paths from where it was called', () => {
    const folder = scratchFolder();
    const link = join(folder, 'nightrail');
    symlinkSync(launcher, link);
    mkdirSync(join(folder, 'shoot'));
    // Found relative to the caller's folder: it is there and holds no picture.
    const empty = run(folder, link, 'check', 'shoot', '--out', 'o');
    expect([empty.status, empty.stderr]).toEqual([
      2,
      expect.stringContaining('There is no picture in shoot'),
    ]);
  });

  it('answers slips with the nearest option or command, and status 2', () => {
    const folder = scratchFolder();
    const option = run(folder, process.execPath, launcher, 'check', 'd', '--out', 'o', '--profil', 'p');
    expect([option.status, option.stderr]).toEqual([2, expect.stringContaining('Did you mean --profile?')]);
    const command = run(folder, process.execPath, launcher, 'chekc');
    expect([command.status, command.stderr]).toEqual([2, expect.stringContaining('Did you mean check?')]);
  });

  it('says in its help what the exit status means', () => {
    const help = execFileSync(process.execPath, [launcher, 'check', '--help'], { encoding: 'utf8' });
    for (const line of [
      '0  every garment passes',
      '1  the run is complete',
      '2  the command',
      '3  the run could not',
    ])
      expect(help).toContain(line);
  });
});
