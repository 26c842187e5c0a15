import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { expect, it } from 'vitest';
import { endsWhole } from '../../../workers/watch/ends-whole.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

const background = { r: 90, g: 120, b: 60 };

it('tells a whole JPEG from a part of it, from one whose space is reserved, and from other files', async () => {
  const path = join(scratchFolder(), 'a.jpg');
  const jpeg = await sharp({ create: { width: 64, height: 96, channels: 3, background } })
    .jpeg()
    .toBuffer();
  const ends = (bytes: Uint8Array): Promise<boolean> => {
    writeFileSync(path, bytes);
    return endsWhole(path);
  };
  expect(await ends(jpeg)).toBe(true);
  for (const length of [0, 1, 2, 100, jpeg.length - 2, jpeg.length - 1])
    expect(await ends(jpeg.subarray(0, length))).toBe(false);
  expect(await ends(Buffer.concat([jpeg.subarray(0, 300), Buffer.alloc(1000)]))).toBe(false);
  expect(await ends(Buffer.from('not a picture'))).toBe(false);
  expect(await endsWhole(join(scratchFolder(), 'not-there.jpg'))).toBe(false);
});
