import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { parse } from 'csv-parse/sync';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import type { Results } from '../../../pipeline/contracts/results.ts';
import { patternFault } from '../../../pipeline/report/package-names.ts';
import { type PackageOptions, packageFrames } from '../../../pipeline/tasks/package-frames.ts';
import { demoResults } from '../../helpers/demo-results.ts';
import { fakeMeasurement } from '../../helpers/fake-measurement.ts';
import { jpeg } from '../../helpers/pictures.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

const verdicts = {
  'coat/1.JPG': 'pass',
  'coat/2.jpg': 'reject',
  'coat/3.jpg': 'pass',
  'CON/1.jpg': 'pass',
} as const;

async function shoot(): Promise<{ results: Results; delivery: string; to: string }> {
  const base = scratchFolder();
  const delivery = join(base, 'shoot');
  const bytes = await jpeg(300, 200);
  const frames = Object.entries(verdicts).map(([id, verdict], index) => {
    const own = Buffer.concat([bytes, Buffer.from([index])]);
    mkdirSync(dirname(join(delivery, id)), { recursive: true });
    writeFileSync(join(delivery, id), own);
    const measurement = {
      ...fakeMeasurement(own),
      framing: { ...fakeMeasurement(own).framing, view: 'front' as const },
    };
    return { id, garment: id.split('/')[0]!, verdict, findings: [], measurement };
  });
  const garments = ['coat', 'CON'].map((id) => ({
    ...demoResults.garments[0]!,
    id,
    findings: [],
    columns: { sku: id === 'coat' ? '=../ä 12' : '' },
    frames: frames.filter(({ garment }) => garment === id).map((frame) => frame.id),
  }));
  return { results: { ...demoResults, garments, frames }, delivery, to: join(base, 'package') };
}

const run = (options: Pick<PackageOptions, 'results' | 'delivery' | 'to'> & Partial<PackageOptions>) =>
  packageFrames({
    pattern: '{garment}_{view}_{n}',
    onProgress: () => undefined,
    signal: new AbortController().signal,
    ...options,
  });

function filesIn(folder: string): readonly string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ name }) => name)
    .sort();
}

describe('a package', () => {
  it('holds the frames that pass, byte for byte, with sums that sha256sum checks', async () => {
    const day = await shoot();
    expect(await run(day)).toEqual({ files: 3, left: [] });
    expect(filesIn(day.to)).toEqual([
      'CON_front_01.jpg',
      'coat_front_01.jpg',
      'coat_front_02.jpg',
      'manifest.csv',
      'sha256sums.txt',
    ]);
    expect(readFileSync(join(day.to, 'coat_front_01.jpg'))).toEqual(
      readFileSync(join(day.delivery, 'coat/1.JPG')),
    );
    // GNU coreutils, an independent reader of the same form.
    execFileSync('sha256sum', ['-c', '--strict', 'sha256sums.txt'], { cwd: day.to });
    const rows = parse(readFileSync(join(day.to, 'manifest.csv')), { bom: true, columns: true }) as Record<
      string,
      string
    >[];
    expect(rows.map(({ frame, file }) => [frame, file])).toEqual([
      ['coat/1.JPG', 'coat_front_01.jpg'],
      ['coat/3.jpg', 'coat_front_02.jpg'],
      ['CON/1.jpg', 'CON_front_01.jpg'],
    ]);
  });

  it('in the store’s size: sRGB with its profile, no camera metadata, never enlarged', async () => {
    const day = await shoot();
    await run({ ...day, longEdgePx: 150 });
    const made = await sharp(join(day.to, 'coat_front_01.jpg')).metadata();
    expect([made.format, made.width, made.height, made.hasProfile, made.exif]).toEqual([
      'jpeg',
      150,
      100,
      true,
      undefined,
    ]);
    const large = await shoot();
    await run({ ...large, longEdgePx: 4000 });
    expect((await sharp(join(large.to, 'coat_front_01.jpg')).metadata()).width).toBe(300);
  });

  it('takes names from columns of the sheet, made safe for every disk, and never two the same', async () => {
    const day = await shoot();
    await run({ ...day, pattern: '{sku}/{garment}' });
    expect(filesIn(day.to)).toEqual(['_CON.jpg', 'coat-2.jpg', 'coat.jpg', 'manifest.csv', 'sha256sums.txt']);
    expect(existsSync(join(day.to, 'ä-12', 'coat.jpg'))).toBe(true);
  });

  it('leaves out what has changed since the check or is gone, and says so', async () => {
    const day = await shoot();
    writeFileSync(join(day.delivery, 'coat/1.JPG'), 'other');
    const gone = {
      ...day.results,
      frames: day.results.frames.map((frame) =>
        frame.id === 'CON/1.jpg' ? { ...frame, id: 'CON/9.jpg' } : frame,
      ),
    };
    const { files, left } = await run({ ...day, results: gone });
    expect(files).toBe(1);
    expect(left).toEqual([
      expect.stringMatching(/^coat\/1\.JPG was left out: it has changed/),
      expect.stringMatching(/^CON\/9\.jpg was left out: it is not there/),
    ]);
  });

  it('goes into no folder that holds something, nor into the delivery', async () => {
    const day = await shoot();
    mkdirSync(day.to);
    writeFileSync(join(day.to, 'theirs'), '');
    await expect(run(day)).rejects.toThrow(/it is not empty/);
    await expect(run({ ...day, to: join(day.delivery, 'x') })).rejects.toThrow(/inside the delivery/);
    await expect(run({ ...day, to: day.delivery })).rejects.toMatchObject({ kind: 'usage' });
  });

  it('touches no original', async () => {
    const day = await shoot();
    const sums = () =>
      Object.keys(verdicts).map((id) =>
        createHash('sha256')
          .update(readFileSync(join(day.delivery, id)))
          .digest('hex'),
      );
    const before = sums();
    await run({ ...day, longEdgePx: 100 });
    expect(sums()).toEqual(before);
    expect(filesIn(day.delivery).length).toBe(4);
  });
});

describe('a pattern of names', () => {
  it.each([
    ['{garment}_{n}', null],
    ['{sku}/{view} {file}', null],
    ['{size}', /\{size\} stands for nothing; it can hold \{garment\}/],
    ['{garment', /brace/],
    ['../{garment}', /no file inside/],
    ['{garment}:{n}', /letters, digits/],
    ['', /no file inside/],
  ])('%s', (pattern, fault) => {
    const found = patternFault(pattern, ['sku']);
    if (fault === null) expect(found).toBeNull();
    else expect(found).toMatch(fault);
  });
});
