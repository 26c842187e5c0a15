import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { writeRunFiles, writtenListName } from '../../../pipeline/tasks/written-documents.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

describe('the documents of a run', () => {
  it('removes what an earlier run wrote and this one does not, and nothing else', async () => {
    const out = scratchFolder();
    await writeRunFiles(out, [
      { path: 'index.html', body: 'day one' },
      { path: 'garments/coat.html', body: 'coat' },
      { path: 'garments/dress.html', body: 'dress' },
      { path: 'pictures/ab/face.png', body: 'png' },
    ]);
    writeFileSync(join(out, 'garments', 'notes.txt'), 'of the studio');
    writeFileSync(join(out, 'mine.html'), 'of the studio');
    await writeRunFiles(out, [
      { path: 'index.html', body: 'day two' },
      { path: 'garments/dress.html', body: 'dress' },
    ]);
    expect(readFileSync(join(out, 'index.html'), 'utf8')).toBe('day two');
    expect(readdirSync(join(out, 'garments')).sort()).toEqual(['dress.html', 'notes.txt']);
    expect(existsSync(join(out, 'mine.html'))).toBe(true);
    expect(existsSync(join(out, 'pictures'))).toBe(false);
  });

  it('leaves a document alone that has not changed', async () => {
    const out = scratchFolder();
    const from = join(out, 'evidence.png');
    writeFileSync(from, 'png');
    const files = [
      { path: 'index.html', body: new Uint8Array([1, 2]) },
      { path: 'p/face.png', from },
    ];
    await writeRunFiles(out, files);
    const before = files.map(({ path }) => statSync(join(out, path)).ino);
    await writeRunFiles(out, files);
    expect(files.map(({ path }) => statSync(join(out, path)).ino)).toEqual(before);
  });

  it('leaves out a picture that somebody cleaned out of the store meanwhile', async () => {
    const out = scratchFolder();
    await writeRunFiles(out, [
      { path: 'index.html', body: 'day' },
      { path: 'p/face.png', from: join(out, 'gone.png') },
    ]);
    expect(readdirSync(out).sort()).toEqual([writtenListName, 'index.html']);
  });

  it('never deletes outside its folder, whatever its list says', async () => {
    const base = scratchFolder();
    const out = join(base, 'out');
    mkdirSync(out);
    const outside = join(base, 'original.jpg');
    writeFileSync(outside, 'original');
    const files = ['../original.jpg', outside, '.', '..', 'x/../../original.jpg'];
    writeFileSync(join(out, writtenListName), JSON.stringify({ schema: 'nightrail/documents@1', files }));
    await writeRunFiles(out, [{ path: 'index.html', body: 'x' }]);
    expect(readFileSync(outside, 'utf8')).toBe('original');
  });

  it('refuses a document that would lie outside', async () => {
    const out = scratchFolder();
    await expect(writeRunFiles(out, [{ path: '../x.html', body: '' }])).rejects.toThrow('outside');
    expect(readdirSync(out)).toEqual([]);
  });

  it('takes a broken list for no list', async () => {
    const out = scratchFolder();
    writeFileSync(join(out, writtenListName), '{"files": [');
    await writeRunFiles(out, [{ path: 'index.html', body: 'x' }]);
    expect(readFileSync(join(out, 'index.html'), 'utf8')).toBe('x');
  });

  it('says what is wrong where it cannot write', async () => {
    const out = scratchFolder();
    writeFileSync(join(out, 'garments'), 'a file');
    await expect(writeRunFiles(out, [{ path: 'garments/a.html', body: '' }])).rejects.toMatchObject({
      code: 'out-not-written',
    });
  });
});
