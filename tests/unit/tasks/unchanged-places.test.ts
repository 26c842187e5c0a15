import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import type { Box } from '../../../pipeline/contracts/box.ts';
import type { Measurement } from '../../../pipeline/contracts/measurement/measurement.ts';
import { seededRandom } from '../../../pipeline/numeric/statistics.ts';
import { picturesFolder } from '../../../pipeline/report/links.ts';
import { evidencePath } from '../../../pipeline/store/measurement-store.ts';
import { unchangedPlaces } from '../../../pipeline/tasks/unchanged-places.ts';
import { aMeasurement } from '../../helpers/measurement.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

const [width, height] = [600, 900];
const left: Box = [0.1, 0.3, 0.15, 0.4];
const right: Box = [0.7, 0.3, 0.15, 0.4];

/** A grey street with noise, and figures of stripes in the boxes given. */
async function street(figures: readonly Box[], quality: number): Promise<Buffer> {
  const random = seededRandom(3);
  const data = Uint8Array.from({ length: 3 * width * height }, () => 120 + 6 * random());
  for (const [x, y, wide, high] of figures)
    for (let row = Math.round(y * height); row < (y + high) * height; row++)
      for (let column = Math.round(x * width); column < (x + wide) * width; column++)
        data.fill(
          Math.floor(row / 40) % 2 === 0 ? 40 : 190,
          3 * (row * width + column),
          3 * (row * width + column + 1),
        );
  return sharp(data, { raw: { width, height, channels: 3 } })
    .jpeg({ quality })
    .toBuffer();
}

async function compared(before: Buffer | null, now: Buffer) {
  const [report, cache] = [scratchFolder(), scratchFolder()];
  const made = (hash: string): Measurement => ({
    ...aMeasurement(),
    contentHash: hash.repeat(64),
    pictures: [{ file: 'frame.jpg', shows: 'frame', box: [0, 0, 1, 1], width, height }],
  });
  const [then, after] = [made('a'), made('b')];
  const put = (folder: string, bytes: Buffer): void => {
    mkdirSync(folder, { recursive: true });
    writeFileSync(join(folder, 'frame.jpg'), bytes);
  };
  if (before !== null) put(join(report, picturesFolder(then.contentHash)), before);
  put(evidencePath(cache, after.contentHash, 'v', ''), now);
  return unchangedPlaces(then, after, { report, cache, version: 'v' });
}

describe('places of a retouched file', () => {
  it('that show the same are told from those that were painted over, whatever the quality it was saved with', async () => {
    const isUnchanged = await compared(await street([left, right], 82), await street([right], 60));
    expect(isUnchanged(right)).toBe(true);
    expect(isUnchanged(left)).toBe(false);
    expect(isUnchanged([0, 0, 1, 1])).toBe(false);
  });

  it('are taken for changed where the pictures to compare are gone', async () => {
    expect((await compared(null, await street([left], 82)))(left)).toBe(false);
  });

  it('may reach beyond the frame', async () => {
    const same = await street([left], 82);
    expect((await compared(same, same))([-0.1, 0.9, 0.3, 0.3])).toBe(true);
  });
});
