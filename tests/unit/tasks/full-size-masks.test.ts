import { existsSync, readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { analysisLongEdgePx } from '../../../pipeline/contracts/frame-image.ts';
import type { FrameResult, Results } from '../../../pipeline/contracts/results.ts';
import { encodeMask } from '../../../pipeline/decode/pictures.ts';
import { retouchList } from '../../../pipeline/report/retouch-list.ts';
import { writeMeasured } from '../../../pipeline/store/measurement-store.ts';
import { fullSizeMasks } from '../../../pipeline/tasks/full-size-masks.ts';
import { writeRunFiles } from '../../../pipeline/tasks/written-documents.ts';
import { demoResults } from '../../helpers/demo-results.ts';
import { aMeasurement, person } from '../../helpers/measurement.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

interface Ellipse {
  readonly x: number;
  readonly y: number;
  readonly rx: number;
  readonly ry: number;
}

/** How far a point lies outside the ellipse, px, to first order: how far it is off the level 1, over how fast that changes. */
function outside({ x, y, rx, ry }: Ellipse, px: number, py: number): number {
  const [u, v] = [(px - x) / rx, (py - y) / ry];
  const level = Math.max(Math.hypot(u, v), 1e-9);
  return (level - 1) / Math.max(Math.hypot(u / (rx * level), v / (ry * level)), 1e-9);
}

/** The share of each px of the whole frame that the ellipse covers, 0..255: what a mask without any loss would be. */
function drawn(ellipse: Ellipse, width: number, height: number): Uint8Array {
  return Uint8Array.from({ length: width * height }, (_, at) => {
    const beyond = outside(ellipse, (at % width) + 0.5, Math.floor(at / width) + 0.5);
    return Math.round(255 * Math.min(1, Math.max(0, 0.5 - beyond)));
  });
}

/** The same at the resolution of the analysis, each px the share that the ellipse covers of it (averages by libvips). */
async function atAnalysis(data: Uint8Array, width: number, height: number): Promise<Buffer> {
  const share = Math.min(1, analysisLongEdgePx / Math.max(width, height));
  const { data: small, info } = await sharp(data, { raw: { width, height, channels: 1 } })
    .resize({
      width: Math.round(width * share),
      height: Math.round(height * share),
      fit: 'fill',
      kernel: 'linear',
    })
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  return encodeMask({ width: info.width, height: info.height, data: new Uint8Array(small) });
}

const finding = {
  ...demoResults.frames[0]!.findings[0]!,
  region: person().box,
};

async function stored(
  cache: string,
  id: string,
  width: number,
  height: number,
  ellipse: Ellipse,
): Promise<FrameResult> {
  const empty = aMeasurement({
    file: { width, height },
    people: { background: [person({ mask: 'mask-person-0.png', maskKind: 'outline' })] },
  });
  const measurement = { ...empty, contentHash: String(width).padStart(64, '0') };
  const bytes = await atAnalysis(drawn(ellipse, width, height), width, height);
  await writeMeasured(cache, 'v', measurement, [{ name: 'mask-person-0.png', bytes }]);
  return { id, garment: 'coat', verdict: 'cleanup', findings: [finding], measurement };
}

function day(...frames: FrameResult[]): Results {
  const garment = { ...demoResults.garments[0]!, id: 'coat', frames: frames.map(({ id }) => id) };
  return { ...demoResults, garments: [garment], frames };
}

/** Where the mask passes half on its way in and out of a row, px from the left, between the centres of two px. */
function edges(data: Uint8Array, width: number, row: number): readonly number[] {
  const at = (x: number): number => data[row * width + x] ?? 0;
  const line = Array.from({ length: width }, (_, x) => x);
  const first = line.find((x) => at(x) >= 127.5) ?? 0;
  const last = line.findLast((x) => at(x) >= 127.5) ?? 0;
  const between = (x: number, next: number): number => (at(x) - 127.5) / (at(x) - at(next));
  return [first + 0.5 - between(first, first - 1), last + 0.5 + between(last, last + 1)];
}

async function written(results: Results, cache: string): Promise<string> {
  const out = scratchFolder();
  await writeRunFiles(out, await fullSizeMasks(results, cache, 'v'));
  return out;
}

describe('masks for the retoucher', () => {
  it('are 8-bit grey PNGs as large as the frame, one for each person on the list, named in it', async () => {
    const cache = scratchFolder();
    const frame = await stored(cache, 'coat/a.jpg', 2001, 3000, { x: 700, y: 1500, rx: 200, ry: 800 });
    const results = day(frame);
    const [row] = parse(retouchList(results), { bom: true, columns: true }) as Record<string, string>[];
    expect(row?.mask).toBe('retouch/masks/coat/a-1.png');
    expect(row?.['mask shows']).toBe('outline');
    const out = await written(results, cache);
    const { format, width, height, channels, depth } = await sharp(`${out}/${row?.mask}`).metadata();
    expect({ format, width, height, channels, depth }).toEqual({
      format: 'png',
      width: 2001,
      height: 3000,
      channels: 1,
      depth: 'uchar',
    });
  });

  it('lie on the frame to one px, whatever its size', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 300, max: 2600 }),
        fc.integer({ min: 300, max: 2600 }),
        fc.double({ min: 0.3, max: 0.7, noNaN: true }),
        async (width, height, at) => {
          const ellipse = { x: at * width, y: at * height, rx: width / 5, ry: height / 4 };
          const cache = scratchFolder();
          const out = await written(day(await stored(cache, 'coat/a.jpg', width, height, ellipse)), cache);
          const mask = await sharp(`${out}/retouch/masks/coat/a-1.png`).extractChannel(0).raw().toBuffer();
          const top = Math.ceil(ellipse.y - 0.9 * ellipse.ry);
          for (let row = top; row <= ellipse.y + 0.9 * ellipse.ry; row += 7)
            for (const edge of edges(mask, width, row))
              expect(Math.abs(outside(ellipse, edge, row + 0.5))).toBeLessThanOrEqual(1);
        },
      ),
      { numRuns: 12 },
    );
  });

  it('are made once: judging again copies them', async () => {
    const cache = scratchFolder();
    const results = day(await stored(cache, 'coat/a.jpg', 1500, 1000, { x: 700, y: 500, rx: 200, ry: 300 }));
    const [first] = await fullSizeMasks(results, cache, 'v');
    const from = first !== undefined && 'from' in first ? first.from : '';
    const before = readFileSync(from);
    const again = await fullSizeMasks(results, cache, 'v');
    expect(again).toEqual([first]);
    expect(readFileSync(from).equals(before)).toBe(true);
  });

  it('are not made for a person whom somebody accepted, nor for a frame that is shot again', async () => {
    const cache = scratchFolder();
    const frame = await stored(cache, 'coat/a.jpg', 600, 900, { x: 200, y: 400, rx: 50, ry: 200 });
    const accepted = { ...finding, decision: { decided: 'accept' as const, who: 'Ana', why: '' } };
    for (const one of [
      { ...frame, findings: [accepted] },
      { ...frame, verdict: 'reject' as const },
    ]) {
      expect(await fullSizeMasks(day(one), cache, 'v')).toEqual([]);
      expect(existsSync(`${await written(day(one), cache)}/retouch`)).toBe(false);
    }
  });
});
