import { readdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { swatchPlaces } from '../../../pipeline/contracts/measurement/swatches.ts';
import {
  lookUpStored,
  readStored,
  writeMeasured,
  writeUnmeasurable,
} from '../../../pipeline/store/measurement-store.ts';
import { jsonOf } from '../../../pipeline/store/measurement-text.ts';
import { fakeMeasurement } from '../../helpers/fake-measurement.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

const measurement = fakeMeasurement(Buffer.from('frame'));
const { contentHash } = measurement;
const picture = { name: 'face.png', bytes: Buffer.from('pixels') };

async function stored(): Promise<{ cache: string; json: string; png: string }> {
  const cache = scratchFolder();
  await writeMeasured(cache, 'v1', measurement, [picture]);
  const stem = `${contentHash}-v1`;
  return { cache, json: join(cache, `${stem}.json`), png: join(cache, stem, 'face.png') };
}

describe('the measurement store', () => {
  it('gives back exactly what was put in, with the place of each picture', async () => {
    const { cache, png } = await stored();
    expect(await readStored(cache, contentHash, 'v1')).toEqual({
      ok: true,
      measurement,
      evidence: [{ name: 'face.png', path: png }],
    });
    expect(readFileSync(png, 'utf8')).toBe('pixels');
  });

  it('knows nothing under another version or other bytes', async () => {
    const { cache, json } = await stored();
    expect(await readStored(cache, contentHash, 'v2')).toBeNull();
    const other = fakeMeasurement(Buffer.from('other')).contentHash;
    writeFileSync(join(cache, `${other}-v1.json`), readFileSync(json));
    expect(await readStored(cache, other, 'v1')).toBeNull();
    writeFileSync(join(cache, `${contentHash}-v2.json`), readFileSync(json));
    expect(await readStored(cache, contentHash, 'v2')).toBeNull();
  });

  it('takes a file cut at any length for missing', async () => {
    const { cache, json } = await stored();
    const whole = readFileSync(json);
    // The last byte is a line end, which JSON does not need.
    for (let length = 0; length < whole.length - 1; length += 37) {
      writeFileSync(json, whole.subarray(0, length));
      expect(await readStored(cache, contentHash, 'v1')).toBeNull();
    }
  });

  it('takes a file in which a single character is another one for missing', async () => {
    const { cache, json } = await stored();
    const whole = readFileSync(json);
    for (let at = 0; at < whole.length; at += 41) {
      const changed = Buffer.from(whole);
      changed[at]! ^= 1;
      writeFileSync(json, changed);
      expect(await readStored(cache, contentHash, 'v1')).toBeNull();
    }
  });

  it('is JSON with the measurement in it, whatever a file name or a camera puts into strings', async () => {
    const words = fc.oneof(fc.string({ unit: 'binary' }), fc.constant('"swatches":[]'));
    const numbers = fc.double({ noNaN: true, noDefaultInfinity: true }).map((number) => number + 0);
    const swatches = fc.array(fc.tuple(numbers, numbers, numbers, fc.integer({ min: 1 })));
    const places = fc.array(fc.record({ place: fc.constantFrom(...swatchPlaces), swatches }));
    await fc.assert(
      fc.asyncProperty(words, places, async (lens, found) => {
        const cache = scratchFolder();
        const { capture, colour } = measurement;
        const whole = {
          ...measurement,
          capture: { ...capture, lens },
          colour: { ...colour, swatches: found },
        };
        await writeMeasured(cache, 'v1', whole, []);
        const json = readFileSync(join(cache, `${contentHash}-v1.json`), 'utf8');
        expect(JSON.parse(json).measurement).toEqual(whole);
        const read = await readStored(cache, contentHash, 'v1');
        if (!read?.ok) throw new Error('nothing was read');
        expect(new TextDecoder().decode(jsonOf(read.measurement))).toBe(JSON.stringify(whole));
        expect(JSON.stringify(read.measurement)).toBe(JSON.stringify(whole));
        expect(read.measurement).toEqual(whole);
      }),
      { numRuns: 50 },
    );
  });

  it('takes a measurement whose picture is gone or cut for missing, and mends it', async () => {
    const { cache, png } = await stored();
    truncateSync(png, 3);
    expect(await lookUpStored(cache, contentHash, 'v1')).toBeNull();
    rmSync(png);
    expect(await lookUpStored(cache, contentHash, 'v1')).toBeNull();
    await writeMeasured(cache, 'v1', measurement, [picture]);
    expect(await lookUpStored(cache, contentHash, 'v1')).toEqual({ ok: true });
  });

  it('refuses a measurement or a picture name that breaks the contract, and writes nothing', async () => {
    const cache = scratchFolder();
    const broken = { ...measurement, likeness: { dhash64: 'short' } };
    await expect(writeMeasured(cache, 'v1', broken, [])).rejects.toThrow(/dhash64/);
    const outside = { name: '../face.png', bytes: picture.bytes };
    await expect(writeMeasured(cache, 'v1', measurement, [outside])).rejects.toThrow(/name/);
    expect(readdirSync(cache)).toEqual([]);
  });

  it('keeps why bytes cannot be measured', async () => {
    const cache = scratchFolder();
    await writeUnmeasurable(cache, 'v1', contentHash, 'The file is cut off.');
    const answer = { ok: false, reason: 'The file is cut off.' };
    expect(await readStored(cache, contentHash, 'v1')).toEqual(answer);
    expect(await lookUpStored(cache, contentHash, 'v1')).toEqual(answer);
    expect(await readStored(cache, contentHash, 'v2')).toBeNull();
  });

  it('lets many write the same measurement at once', async () => {
    const cache = scratchFolder();
    await Promise.all(Array.from({ length: 10 }, () => writeMeasured(cache, 'v1', measurement, [picture])));
    expect(await readStored(cache, contentHash, 'v1')).not.toBeNull();
    expect(readdirSync(cache).sort()).toEqual([`${contentHash}-v1`, `${contentHash}-v1.json`]);
  });
});
