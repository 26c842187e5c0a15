import { copyFile, mkdir, readFile, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { runAccuracy } from '../../pipeline/accuracy/run-accuracy.ts';
import { deliveryFolder, trueFrames } from '../helpers/demo-truth.ts';
import { scratchFolder } from '../helpers/scratch.ts';

const head = 'file,subjects,bg_people,crop,view,feet_visible,ambiguous\n';

describe('accuracy of a labelled folder', () => {
  /** A folder with one grey photograph and a box in it; gives the paths and a writer of labels. */
  async function setUp() {
    const folder = scratchFolder();
    const photos = join(folder, 'photos & more');
    await mkdir(photos);
    const data = Buffer.alloc(3 * 200 * 300, 128);
    const raw = { width: 200, height: 300, channels: 3 } as const;
    await sharp(data, { raw }).png().toFile(join(photos, 'empty 2.png'));
    await writeFile(
      join(folder, 'boxes.csv'),
      'file,x0,y0,x1,y1,kind\nempty 2.png,10,20,60,190,background\n',
    );
    const labels = async (rows: string) => {
      const path = join(folder, 'labels.csv');
      await writeFile(path, head + rows);
      return path;
    };
    return { folder, photos, labels };
  }

  it('measures, compares, and writes the contact sheet and the figures', async () => {
    const { folder, photos, labels } = await setUp();
    const out = join(folder, 'out');
    const seen: string[] = [];
    const text = await runAccuracy({
      photos,
      labels: await labels('empty 2.png,0,1,none,unknown,unknown,no\n'),
      boxes: join(folder, 'boxes.csv'),
      out,
      halves: true,
      onProgress: (done, total, file) => seen.push(`${done}/${total} ${file}`),
    });
    expect(seen).toEqual(['1/1 empty 2.png']);
    // Nobody is in the grey picture, whatever the label says: one frame and one person missed.
    expect(text).toContain('frames with background people that are flagged   0.0 % (0 of 1;');
    expect(text).toContain('crop right                                       100.0 % (1 of 1;');
    expect(text).toContain('Even file numbers: 1 frames');
    expect(text).toContain('Odd file numbers: 0 frames');
    expect(text).toContain('person, 57 % of the frame');
    const page = await readFile(join(out, 'misses.html'), 'utf8');
    expect(page).toContain('href="../photos%20%26%20more/empty%202.png"');
    const figures = JSON.parse(await readFile(join(out, 'accuracy.json'), 'utf8'));
    expect(figures['All frames'].frameRecall).toMatchObject({ successes: 0, trials: 1 });
  });

  it('says which photograph is missing, and never leaves the folder', async () => {
    const { photos, labels } = await setUp();
    await expect(
      runAccuracy({ photos, labels: await labels('../boxes.csv,0,0,none,unknown,unknown,no\n') }),
    ).rejects.toThrow(/The labels name \.\.\/boxes\.csv, which is not in/);
  });

  it('says which sheet cannot be read', async () => {
    const { folder, photos } = await setUp();
    await expect(runAccuracy({ photos, labels: join(folder, 'none.csv') })).rejects.toThrow(
      /The labels sheet cannot be used: .*none\.csv cannot be read/,
    );
  });

  it('stops when asked', async () => {
    const { photos, labels } = await setUp();
    const signal = AbortSignal.abort();
    const path = await labels('empty 2.png,0,0,none,unknown,unknown,no\n');
    await expect(runAccuracy({ photos, labels: path, signal })).rejects.toThrow();
  });
});

describe('accuracy on the demo shoot, whose truth the renderer knows', () => {
  it('is right about models, crops and feet, and flags no frame without cause', async () => {
    const folder = scratchFolder();
    const labels = [head.trim()];
    const boxes = ['file,x0,y0,x1,y1,kind'];
    const truths = trueFrames().filter(({ planted }) => !planted.includes('unreadable-file'));
    for (const truth of truths) {
      const file = basename(truth.frame);
      await copyFile(join(deliveryFolder, truth.frame), join(folder, file));
      // Not that of the truth: one frame is delivered smaller than it was rendered.
      const delivered = await sharp(join(folder, file)).metadata();
      const others = truth.people.filter(({ role }) => role !== 'model').length;
      const view = truth.view === 'detail' ? 'unknown' : truth.view;
      // A frame is full length in the plan when both feet are in it.
      const feet = truth.crop === 'full' ? 'both' : 'none';
      labels.push([file, truth.people.length - others, others, truth.crop, view, feet, 'no'].join(','));
      for (const { role, box } of truth.people) {
        const [x, y, width, height] = box;
        const px = [
          x * delivered.width,
          y * delivered.height,
          (x + width) * delivered.width,
          (y + height) * delivered.height,
        ].map(Math.round);
        boxes.push([file, ...px, role === 'model' ? 'subject' : 'background'].join(','));
      }
    }
    await writeFile(join(folder, 'labels.csv'), labels.join('\n'));
    await writeFile(join(folder, 'boxes.csv'), boxes.join('\n'));
    const out = join(folder, 'out');
    const text = await runAccuracy({
      photos: folder,
      labels: join(folder, 'labels.csv'),
      boxes: join(folder, 'boxes.csv'),
      out,
    });
    const { 'All frames': figures } = JSON.parse(await readFile(join(out, 'accuracy.json'), 'utf8'));
    const frames = truths.length;
    expect(figures.subjectRight, text).toMatchObject({ successes: frames, trials: frames });
    expect(figures.cropRight, text).toMatchObject({ successes: frames, trials: frames });
    // A hem near the ground hides most of the feet.
    expect(figures.feetRight.share, text).toBeGreaterThanOrEqual(0.9);
    expect(figures.viewNearlyRight.share, text).toBe(1);
    expect(figures.framePrecision.share, text).toBe(1);
    expect(figures.personPrecision.share, text).toBe(1);
    // Somebody cut by the frame's edge to a sleeve and a shoe is not found (see README); everybody else is.
    expect(figures.personRecall.share, text).toBeGreaterThanOrEqual(2 / 3);
  });
});
