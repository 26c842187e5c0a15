import { existsSync, mkdirSync, readdirSync, readFileSync, utimesSync, writeFileSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { sweepTemporaries, writeFileAtomic, writePieces } from '../../../pipeline/store/atomic-write.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

it('makes the folder, replaces the old file and leaves nothing beside it', async () => {
  const folder = join(scratchFolder(), 'a', 'b');
  await writeFileAtomic(join(folder, 'x.txt'), 'old');
  await writeFileAtomic(join(folder, 'x.txt'), 'new');
  expect(readFileSync(join(folder, 'x.txt'), 'utf8')).toBe('new');
  expect(readdirSync(folder)).toEqual(['x.txt']);
});

it('writes a body in pieces, however many they are, also empty ones', async () => {
  const path = join(scratchFolder(), 'x.txt');
  const pieces = Array.from({ length: 2500 }, (_, index) => Buffer.from(index % 7 === 0 ? '' : `${index} `));
  await writeFileAtomic(path, pieces);
  expect(readFileSync(path)).toEqual(Buffer.concat(pieces));
});

it.skipIf(!existsSync('/dev/full'))('says that the disk is full where it takes no piece', async () => {
  // full(4): every write to it fails with ENOSPC.
  const handle = await open('/dev/full', 'w');
  await expect(writePieces(handle, [Buffer.from('a'), Buffer.from('b')])).rejects.toThrow(/ENOSPC/);
  await handle.close();
});

it('never shows a reader anything but a whole file while many write it at once', async () => {
  const path = join(scratchFolder(), 'x.txt');
  const bodies = Array.from({ length: 8 }, (_, index) => String(index).repeat(200_000));
  await writeFileAtomic(path, bodies[0] ?? '');
  let writing = true;
  const seen = new Set<string>();
  const reader = (async () => {
    while (writing) {
      seen.add(readFileSync(path, 'utf8'));
      await new Promise(setImmediate);
    }
  })();
  await Promise.all(bodies.map((body) => writeFileAtomic(path, body)));
  writing = false;
  await reader;
  expect([...seen].filter((text) => !bodies.includes(text))).toEqual([]);
});

it('leaves the old file and no temporary one where the rename fails', async () => {
  const folder = scratchFolder();
  mkdirSync(join(folder, 'taken', 'inside'), { recursive: true });
  await expect(writeFileAtomic(join(folder, 'taken'), 'new')).rejects.toThrow(/EISDIR|ENOTEMPTY|EEXIST/);
  expect(readdirSync(folder)).toEqual(['taken']);
});

it('sweeps only old temporary files of its own', async () => {
  const folder = scratchFolder();
  const old = join(folder, `.nightrail-${crypto.randomUUID()}.tmp`);
  const fresh = join(folder, `.nightrail-${crypto.randomUUID()}.tmp`);
  const foreign = join(folder, '.other.tmp');
  for (const path of [old, fresh, foreign]) writeFileSync(path, '');
  const nowMs = Date.now();
  const dayAgoS = nowMs / 1000 - 86_400;
  utimesSync(old, dayAgoS, dayAgoS);
  utimesSync(foreign, dayAgoS, dayAgoS);
  await sweepTemporaries(folder, nowMs);
  expect([old, fresh, foreign].map((path) => existsSync(path))).toEqual([false, true, true]);
});
