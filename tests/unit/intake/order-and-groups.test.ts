import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { kindOf } from '../../../pipeline/intake/file-kinds.ts';
import { prefixOf } from '../../../pipeline/intake/group-frames.ts';
import { naturalOrder } from '../../../pipeline/intake/natural-order.ts';

describe('natural order', () => {
  it('counts instead of spelling, and a folder before what it starts', () => {
    const sorted = [
      'a/9.jpg',
      'a/10.jpg',
      'a/010.jpg',
      'A/11.jpg',
      'a2/1.jpg',
      'a10/1.jpg',
      'b.jpg',
      'ä.jpg',
    ];
    expect([...sorted].reverse().sort(naturalOrder)).toEqual([
      'a/9.jpg',
      'a/010.jpg',
      'a/10.jpg',
      'A/11.jpg',
      'a2/1.jpg',
      'a10/1.jpg',
      'b.jpg',
      'ä.jpg',
    ]);
    expect(naturalOrder(`${'9'.repeat(40)}.jpg`, `1${'0'.repeat(40)}.jpg`)).toBeLessThan(0);
  });

  it('is a total order: whatever the names, sorting any shuffle gives one result', () => {
    const name = fc.array(
      fc.constantFrom('a', 'A', 'é', 'e\u0301', '1', '01', '10', '2', '/', '.', '-', '裙', '😀'),
      {
        minLength: 1,
        maxLength: 6,
      },
    );
    fc.assert(
      fc.property(
        fc.uniqueArray(
          name.map((parts) => parts.join('')),
          { maxLength: 12 },
        ),
        (names) => {
          const once = [...names].sort(naturalOrder);
          expect([...names].reverse().sort(naturalOrder)).toEqual(once);
          const wrong = names.flatMap((a) =>
            names.filter((b) => {
              const [there, back] = [naturalOrder(a, b), naturalOrder(b, a)];
              return Math.sign(there) !== -Math.sign(back) || (there === 0) !== (a === b);
            }),
          );
          expect(wrong).toEqual([]);
        },
      ),
      { numRuns: 400, seed: 23 },
    );
  });
});

describe('the garment in a file name', () => {
  it.each([
    ['dress-12_03.jpg', 'dress-12'],
    ['dress-12 (3).jpg', 'dress-12'],
    ['dress_12_back.jpg', 'dress_12'],
    ['SKU1001_a.jpg', 'SKU1001'],
    ['SKU1001-Front.JPG', 'SKU1001'],
    ['DSC_0001.jpg', 'DSC'],
    ['DSC00012.jpg', 'DSC'],
    ['_MG_1234.jpg', '_MG'],
    ['0001.jpg', ''],
    ['red coat.jpg', 'red coat'],
    ['red.coat.07.jpg', 'red.coat'],
    ['裙子_2.jpg', '裙子'],
    ['a\nb_2.jpg', 'a\nb'],
    ['noending', 'noending'],
  ])('%j: %j', (name, prefix) => {
    expect(prefixOf(name)).toBe(prefix);
  });

  it('frames of one name and different counters always share it', () => {
    fc.assert(
      fc.property(
        fc.stringMatching(/^[A-Za-z][A-Za-z0-9_-]{0,12}[A-Za-z]$/),
        fc.constantFrom('-', '_', ' ', '.'),
        fc.nat(99999),
        fc.nat(99999),
        (name, separator, a, b) => {
          expect(prefixOf(`${name}${separator}${a}.jpg`)).toBe(name);
          expect(prefixOf(`${name}${separator}${b}.TIF`)).toBe(name);
        },
      ),
      { numRuns: 300, seed: 29 },
    );
  });
});

describe('kinds by ending', () => {
  it.each([
    ['a.JPeG', 'picture'],
    ['a.heic', 'picture'],
    ['a.jpg.xmp', 'expected'],
    ['a.xmp.jpg', 'picture'],
    ['a.DNG', 'raw'],
    ['a.mp4', 'surprising'],
    ['jpg', 'surprising'],
    ['a.', 'surprising'],
  ])('%s: %s', (name, kind) => {
    expect(kindOf(name)).toBe(kind);
  });
});
