import { chmodSync, mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { deliverySchema } from '../../../pipeline/contracts/delivery.ts';
import { CodedError } from '../../../pipeline/errors.ts';
import { readDelivery } from '../../../pipeline/intake/read-delivery.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

/** A delivery of its own with these files; a file's bytes never matter to intake. */
function delivery(...paths: readonly string[]): string {
  const root = join(scratchFolder(), 'monday');
  mkdirSync(root);
  for (const path of paths) {
    mkdirSync(dirname(join(root, path)), { recursive: true });
    writeFileSync(join(root, path), path.includes('empty') ? '' : 'bytes');
  }
  return root;
}

async function grouped(root: string, options = {}): Promise<Record<string, readonly string[]>> {
  const read = await readDelivery(root, options);
  expect(deliverySchema.parse(read)).toEqual(read);
  // Every frame belongs to exactly the garment that lists it.
  const listed = read.garments.flatMap(({ id, frames }) => frames.map((frame) => [frame, id]));
  expect(Object.fromEntries(listed)).toEqual(
    Object.fromEntries(read.frames.map(({ id, garment }) => [id, garment])),
  );
  expect(listed).toHaveLength(read.frames.length);
  expect(new Set(read.garments.map(({ id }) => id)).size).toBe(read.garments.length);
  return Object.fromEntries(read.garments.map(({ id, frames }) => [id, frames]));
}

async function refusal(promise: Promise<unknown>): Promise<CodedError> {
  const error = await promise.then(
    () => null,
    (thrown: unknown) => thrown,
  );
  if (!(error instanceof CodedError)) throw new Error(`expected a coded error, received ${String(error)}`);
  expect(error.kind).toBe('usage');
  return error;
}

describe('garments without a sheet', () => {
  it('first-level folders, read to any depth, in natural order', async () => {
    const root = delivery(
      'dress-10/b.jpg',
      'dress-2/flash/a10.JPG',
      'dress-2/a2.jpeg',
      'dress-2/flash/a9.jpg',
      'dress-2/a1.TIF',
    );
    expect(await grouped(root)).toEqual({
      'dress-2': ['dress-2/a1.TIF', 'dress-2/a2.jpeg', 'dress-2/flash/a9.jpg', 'dress-2/flash/a10.JPG'],
      'dress-10': ['dress-10/b.jpg'],
    });
  });

  it('a flat folder by the start of the names', async () => {
    const root = delivery(
      'coat-7_2.jpg',
      'coat-7_10.jpg',
      'skirt_front.jpg',
      'skirt_back.jpg',
      'Skirt_03.jpg',
      'top (1).png',
      'top (2).png',
      '0001.webp',
    );
    expect(await grouped(root)).toEqual({
      monday: ['0001.webp'],
      'coat-7': ['coat-7_2.jpg', 'coat-7_10.jpg'],
      Skirt: ['Skirt_03.jpg', 'skirt_back.jpg', 'skirt_front.jpg'],
      top: ['top (1).png', 'top (2).png'],
    });
  });

  it('camera names in one folder are told apart once frames are measured, unless the command says otherwise', async () => {
    const root = delivery('DSC_0001.jpg', 'DSC_0002.jpg', 'DSC_0010.jpg');
    const { garments, grouping } = await readDelivery(root);
    expect(grouping).toBe('capture');
    expect(garments.map(({ frames }) => frames.length)).toEqual([3]);
    const byName = await readDelivery(root, { grouping: 'names' });
    expect(byName.grouping).toBe('given');
    expect(byName.garments.map(({ id }) => id)).toEqual(['DSC']);
  });

  it('folders are told apart by capture too where the command says so', async () => {
    const root = delivery('body-a/x1.jpg', 'body-b/y1.jpg');
    expect((await readDelivery(root)).garments.length).toBe(2);
    const { garments, grouping } = await readDelivery(root, { grouping: 'capture' });
    expect([garments.length, grouping]).toEqual([1, 'capture']);
  });

  it('loose frames join the folder of the same name', async () => {
    expect(await grouped(delivery('dress-1/a.jpg', 'dress-1_02.jpg'))).toEqual({
      'dress-1': ['dress-1/a.jpg', 'dress-1_02.jpg'],
    });
  });
});

describe('what is in a delivery besides frames', () => {
  it('hidden files, sidecars, notes and system folders go without a word', async () => {
    const root = delivery(
      'a/1.jpg',
      'a/.2.jpg',
      '.git/3.jpg',
      'a/1.xmp',
      'a/notes.txt',
      'list.CSV',
      'a/memo.wav',
      '__MACOSX/a/1.jpg',
      'a/Thumbs.db',
      'a/..jpg',
    );
    const read = await readDelivery(root);
    expect(read.frames.map(({ id }) => id)).toEqual(['a/1.jpg']);
    expect(read.remarks).toEqual([]);
  });

  it('surprising files get one remark together', async () => {
    const root = delivery('a/1.jpg', 'a/clip.mov', 'b.zip', 'LOST');
    expect((await readDelivery(root)).remarks).toEqual([
      '3 files were left out, as their endings are not those of pictures: "LOST", "a/clip.mov", "b.zip".',
    ]);
  });

  it('empty, foreign and raw files stay as frames; raw beside its picture does not', async () => {
    const root = delivery('a/empty.jpg', 'a/x.HEIC', 'a/y.psd', 'a/1.jpg', 'a/1.NEF', 'a/2.cr3');
    const read = await readDelivery(root);
    expect(read.frames.map(({ id }) => id)).toEqual([
      'a/1.jpg',
      'a/2.cr3',
      'a/empty.jpg',
      'a/x.HEIC',
      'a/y.psd',
    ]);
    expect(read.remarks).toEqual([
      '1 camera raw file was left out, as it lies beside a picture of the same name: "a/1.NEF".',
    ]);
  });

  it('the output folder and the documents of an earlier run are no frames', async () => {
    const root = delivery('a/1.jpg', 'report/garments/crop.jpg', 'old/evidence/crop.jpg');
    writeFileSync(join(root, 'old/results.json'), '{\n  "schema": "nightrail/results@1",');
    const read = await readDelivery(root, { out: join(root, 'report') });
    expect(read.frames.map(({ id }) => id)).toEqual(['a/1.jpg']);
    expect(read.remarks).toEqual([
      'The folder "old" holds the documents of an earlier run and was left out.',
    ]);
    const yetToCome = await readDelivery(root, { out: join(root, 'not/there/yet') });
    expect(yetToCome.frames).toHaveLength(2);
  });

  it('a folder that may not be opened costs only itself', async () => {
    const root = delivery('a/1.jpg', 'shut/2.jpg');
    chmodSync(join(root, 'shut'), 0);
    const read = await readDelivery(root).finally(() => chmodSync(join(root, 'shut'), 0o755));
    // The superuser may open anything.
    if (process.getuid?.() !== 0) expect(read.remarks[0]).toContain('"shut" could not be opened');
    expect(read.frames.map(({ id }) => id)).toContain('a/1.jpg');
  });
});

describe('links', () => {
  it('are never followed: circles, ways out and second paths get a remark each', async () => {
    const root = delivery('a/1.jpg', 'b/2.jpg');
    const outside = scratchFolder();
    writeFileSync(join(outside, '3.jpg'), 'bytes');
    symlinkSync('..', join(root, 'a/up'));
    symlinkSync('self', join(root, 'self'));
    symlinkSync('nowhere', join(root, 'broken.jpg'));
    symlinkSync(outside, join(root, 'away'));
    symlinkSync(join(outside, '3.jpg'), join(root, 'a/3.jpg'));
    symlinkSync('../b/2.jpg', join(root, 'a/2.jpg'));
    const read = await readDelivery(root);
    expect(read.frames.map(({ id }) => id)).toEqual(['a/1.jpg', 'b/2.jpg']);
    expect(read.remarks).toEqual([
      'The link "a/2.jpg" leads to "b/2.jpg", which is counted where it lies.',
      'The link "a/3.jpg" leads outside the delivery and was not followed: copy the files in.',
      'The link "a/up" leads to the delivery itself, which is counted where it lies.',
      'The link "away" leads outside the delivery and was not followed: copy the files in.',
      'The link "broken.jpg" leads nowhere and was left out.',
      'The link "self" leads in a circle and was left out.',
    ]);
  });

  it('the delivery itself may be named by a link', async () => {
    const root = delivery('a/1.jpg', 'out/2.jpg');
    const link = join(scratchFolder(), 'link');
    symlinkSync(root, link);
    const read = await readDelivery(link, { out: join(link, 'out') });
    expect(read.frames).toEqual([{ id: 'a/1.jpg', garment: 'a', path: join(link, 'a/1.jpg') }]);
  });
});

describe('names', () => {
  const names = [
    'line\nbreak/1.jpg',
    '"quoted\'/1.jpg',
    'a..b/..c..jpg/1.jpg',
    'a..b/1..jpg',
    '裙子-红/前.jpg',
    'سترة/1.jpg',
    'e\u0301te/1.jpg',
    '=cmd|calc/1.jpg',
    '<img src=x onerror=alert(1)>.jpg',
    ' space /1 .jpg',
    '%2e%2e/1.jpg',
    'back\\slash/1.jpg',
    '-rf/1.jpg',
    'constructor/__proto__.jpg',
    '__proto__/1.jpg',
  ];

  it('of every kind lead to their files', async () => {
    const root = delivery(...names);
    const read = await readDelivery(root);
    const expected = names.filter((name) => !name.split('/').some((part) => part.startsWith('.')));
    expect(read.frames.map(({ id }) => id).sort()).toEqual([...expected].sort());
    for (const { id, path } of read.frames) expect(path).toBe(join(root, id));
    expect(read.garments.map(({ id }) => id)).toContain('__proto__');
  });

  it('are shown on one line in remarks', async () => {
    const root = delivery('a/1.jpg', 'a/two\nlines\u202e.mov');
    expect((await readDelivery(root)).remarks).toEqual([
      '1 file was left out, as its ending is not that of a picture: "a/two lines .mov".',
    ]);
  });
});

describe('nothing to read', () => {
  it('no folder, a file, a folder without pictures', async () => {
    expect((await refusal(readDelivery('/nonexistent/monday'))).message).toBe(
      'The delivery /nonexistent/monday cannot be read: it is not there. Name the folder of the shoot day.',
    );
    const root = delivery('a/notes.txt');
    expect((await refusal(readDelivery(join(root, 'a/notes.txt')))).message).toContain('it is not a folder');
    expect((await refusal(readDelivery(root))).code).toBe('delivery-empty');
  });
});
