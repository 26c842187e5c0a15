import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { FrameResult, Results } from '../../pipeline/contracts/results.ts';
import { hollowPng, picture } from '../helpers/pictures.ts';

/** One folder with everything that can be wrong with a file, among good frames. */

const root = fileURLToPath(new URL('../..', import.meta.url));
const demo = join(root, 'samples', 'delivery');
const scratch = mkdtempSync(join(tmpdir(), 'nightrail-odd-'));

function run(delivery: string): readonly FrameResult[] {
  const out = `${delivery}-report`;
  const args = [join(root, 'workers', 'nightrail.js'), 'check', delivery, '--out', out, '--json'];
  const { status, stderr } = spawnSync(process.execPath, args, { encoding: 'utf8' });
  expect(status, stderr).toBe(1);
  return (JSON.parse(readFileSync(join(out, 'results.json'), 'utf8')) as Results).frames;
}

const good = readdirSync(demo, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.jpg'))
  .sort()
  .slice(0, 2);

let alone: readonly FrameResult[];
let frames: ReadonlyMap<string, FrameResult>;

beforeAll(async () => {
  for (const folder of ['alone/good', 'mixed/good', 'mixed/odd'])
    mkdirSync(join(scratch, folder), { recursive: true });
  const bytes = good.map((name) => readFileSync(join(demo, name)));
  bytes.forEach((frame, index) => {
    for (const folder of ['alone', 'mixed'])
      writeFileSync(join(scratch, folder, 'good', `${index}.jpg`), frame);
  });
  const [frame] = bytes as [Buffer];
  const odd: Readonly<Record<string, Uint8Array | string>> = {
    'half.jpg': frame.subarray(0, frame.length / 2),
    'text.jpg': 'Shot list: front, back, side.\n',
    'empty.jpg': '',
    'dot.png': await picture(1, 1).png().toBuffer(),
    'huge.png': hollowPng(30_000, 30_000),
    'cmyk.jpg': await sharp(frame).resize(600).toColourspace('cmyk').jpeg().toBuffer(),
    'deep.tif': await sharp(new Uint16Array(300 * 400 * 3).fill(30_000), {
      raw: { width: 300, height: 400, channels: 3 },
    })
      .toColourspace('rgb16')
      .tiff({ compression: 'lzw' })
      .toBuffer(),
    // Two pictures that differ: an encoder may keep equal ones once.
    'moving.webp': await sharp(
      [await picture(300, 400).png().toBuffer(), await picture(300, 400).negate().png().toBuffer()],
      {
        join: { animated: true },
      },
    )
      .webp({ delay: [200, 200], loop: 0 })
      .toBuffer(),
  };
  for (const [name, body] of Object.entries(odd)) writeFileSync(join(scratch, 'mixed', 'odd', name), body);
  alone = run(join(scratch, 'alone'));
  frames = new Map(run(join(scratch, 'mixed')).map((result) => [result.id, result]));
}, 600_000);
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

it('gives every file its own row', () => {
  expect([...frames.keys()].sort()).toEqual(
    [
      ...[
        'cmyk.jpg',
        'deep.tif',
        'dot.png',
        'empty.jpg',
        'half.jpg',
        'huge.png',
        'moving.webp',
        'text.jpg',
      ].map((name) => `odd/${name}`),
      'good/0.jpg',
      'good/1.jpg',
    ].sort(),
  );
});

it('leaves the results of the good frames as they are without the others', () => {
  for (const frame of alone) expect(frames.get(frame.id)).toEqual(frame);
});

it.each([
  ['half.jpg', /cut off/],
  ['text.jpg', /not a picture.*text/],
  ['empty.jpg', /empty/],
  ['huge.png', /30000 x 30000 px/],
])('calls %s unreadable with a true sentence', (name, sentence) => {
  const frame = frames.get(`odd/${name}`);
  expect(frame?.verdict).toBe('unreadable');
  expect(frame?.findings[0]?.detail).toMatch(sentence);
});

it('measures a CMYK JPEG, a 16-bit TIFF and the first picture of an animation, and says what they are', () => {
  expect(frames.get('odd/cmyk.jpg')?.measurement?.file.colourSpace).toBe('cmyk');
  expect(frames.get('odd/cmyk.jpg')?.findings.map(({ check }) => check)).toContain('wrong-colour-profile');
  expect(frames.get('odd/deep.tif')?.measurement?.file.bitsPerChannel).toBe(16);
  expect(frames.get('odd/moving.webp')?.measurement?.file.pages).toBe(2);
  expect(frames.get('odd/dot.png')?.findings.map(({ check }) => check)).toContain('wrong-size');
});
