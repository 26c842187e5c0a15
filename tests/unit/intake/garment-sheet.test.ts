import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { stringify } from 'csv-stringify/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CodedError } from '../../../pipeline/errors.ts';
import { parseGarmentSheet } from '../../../pipeline/intake/garment-sheet.ts';
import { readDelivery } from '../../../pipeline/intake/read-delivery.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

const rows = (text: string) =>
  parseGarmentSheet(text, 'sheet.csv').map(({ row, garment, globs, required, columns }) => ({
    row,
    garment,
    globs: globs.map((glob) => glob.text),
    required,
    columns,
  }));

function problem(text: string): string {
  try {
    parseGarmentSheet(text, 'sheet.csv');
  } catch (error) {
    if (error instanceof CodedError && error.kind === 'usage') return error.message;
    throw error;
  }
  throw new Error('expected a usage error');
}

async function withSheet(files: readonly string[], sheet: string | Buffer) {
  const root = join(scratchFolder(), 'monday');
  for (const file of files) {
    mkdirSync(dirname(join(root, file)), { recursive: true });
    writeFileSync(join(root, file), 'bytes');
  }
  const path = join(root, 'garments.csv');
  writeFileSync(path, sheet);
  return readDelivery(root, { sheet: path });
}

describe('reading', () => {
  it('garment, frames, required and further columns', () => {
    expect(
      rows('Garment,Frames,Required,Colour,Priority\nDress 1,d1/*;d1b_*.jpg,"front, back;detail",red,1\n'),
    ).toEqual([
      {
        row: 2,
        garment: 'Dress 1',
        globs: ['d1/*', 'd1b_*.jpg'],
        required: ['front', 'back', 'detail'],
        columns: { Colour: 'red', Priority: '1' },
      },
    ]);
  });

  it('without a required column, or with an empty cell, the profile decides', () => {
    expect(rows('garment,frames\nA,a*\n')[0]?.required).toBeNull();
    expect(rows('garment,frames,required\nA,a*, \n')[0]?.required).toBeNull();
  });

  it('separators of other countries, line ends of other systems, byte-order mark, blank rows', () => {
    const expected = [
      { row: 2, garment: 'A', globs: ['a*'], required: null, columns: {} },
      { row: 4, garment: 'B', globs: ['b/'], required: null, columns: {} },
    ];
    expect(rows('\ufeffgarment;frames\r\nA;a*\r\n;\r\nB;b/\r\n')).toEqual(expected);
    expect(rows('garment\tframes\nA\ta*\n\nB\tb/')).toEqual(expected);
  });

  it('backslashes and a leading ./ mean what they mean elsewhere', () => {
    expect(rows('garment,frames\nA,d1\\*.jpg;./d2/*\n')[0]?.globs).toEqual(['d1/*.jpg', 'd2/*']);
  });

  it('columns with names that objects have', () => {
    const [row] = rows('garment,frames,__proto__,constructor\nA,a,x,y\n');
    expect(Object.entries(row!.columns)).toEqual([
      ['__proto__', 'x'],
      ['constructor', 'y'],
    ]);
  });
});

describe('what is wrong, and where', () => {
  it.each([
    [
      'name,frames\nA,a\n',
      'The garment sheet sheet.csv, row 1: a column "garment" is missing; the header has "name", "frames".',
    ],
    [
      'garment\nA\n',
      'The garment sheet sheet.csv, row 1: a column "frames" is missing; the header has "garment".',
    ],
    ['', 'The garment sheet sheet.csv, row 1: a column "garment" is missing; the header has no names.'],
    [
      'garment,frames,Note,note\nA,a,,\n',
      'The garment sheet sheet.csv, row 1: there are two columns called "note".',
    ],
    ['garment,frames\n', 'The garment sheet sheet.csv cannot be read: it has no row below its header.'],
    ['garment,frames\nA,a\n,b\n', 'The garment sheet sheet.csv, row 3: the garment has no name.'],
    [
      'garment,frames\nA,a\nB,\n',
      'The garment sheet sheet.csv, row 3: "frames" is empty: give file names or patterns, parted by ;.',
    ],
    [
      'garment,frames\nA,a\na,b\n',
      'The garment sheet sheet.csv, row 3: the garment "a" stands in row 2 already; put all its frames into one row, parted by ;.',
    ],
    [
      'garment,frames\nA,../a\n',
      'The garment sheet sheet.csv, row 2: "../a" leads outside the delivery; a pattern starts inside it and never goes up.',
    ],
    [
      'garment,frames\nA,/etc/*\n',
      'The garment sheet sheet.csv, row 2: "/etc/*" leads outside the delivery; a pattern starts inside it and never goes up.',
    ],
    [
      'garment,frames\nA,C:\\x\n',
      'The garment sheet sheet.csv, row 2: "C:/x" leads outside the delivery; a pattern starts inside it and never goes up.',
    ],
    [
      'garment,frames\nA,x{1..9999}\n',
      'The garment sheet sheet.csv, row 2: the braces of "x{1..9999}" stand for more than 2000 names.',
    ],
    [
      'garment,frames,required\nA,a,frnt\n',
      'The garment sheet sheet.csv, row 2: "frnt" in "required" is none of front, three-quarter, side, back, full, knee, waist, detail.',
    ],
    [
      'garment,frames\nA,a,b\n',
      'The garment sheet sheet.csv, row 2: cell 3 ("b") stands under no column name; a value that holds the separator needs quotes.',
    ],
    [
      'garment,frames\nA,"a\nB,b\n',
      'The garment sheet sheet.csv cannot be read: a quote opens a cell and never closes; reading stopped at line 3.',
    ],
  ])('%j', (text, message) => {
    expect(problem(text)).toBe(message);
  });

  it('a sheet that is not there', async () => {
    const root = scratchFolder();
    writeFileSync(join(root, 'a.jpg'), '');
    await expect(readDelivery(root, { sheet: join(root, 'no.csv') })).rejects.toMatchObject({
      code: 'sheet-not-read',
      kind: 'usage',
    });
    await expect(readDelivery(root, { sheet: root })).rejects.toMatchObject({ code: 'sheet-not-read' });
  });

  it('a frame in two rows', async () => {
    await expect(
      withSheet(['a_1.jpg', 'a_2.jpg'], 'garment,frames\nA,a_*\nB,a_2.jpg\n'),
    ).rejects.toMatchObject({
      code: 'sheet-row-wrong',
      message: expect.stringContaining(
        'row 3: the frame "a_2.jpg" is in row 2 ("A") already; a frame belongs to one garment.',
      ),
    });
  });
});

describe('a delivery with a sheet', () => {
  const files = [
    'one/1.jpg',
    'one/2.JPG',
    'SKU [2]/1.jpg',
    'SKU [2]/2.jpg',
    'DSC_0011.jpg',
    'DSC_0012.jpg',
    'DSC_0013.jpg',
    'rest/9.jpg',
  ];

  it('rows become garments in their order; patterns, ranges, folders and bracketed names are found', async () => {
    const sheet =
      'garment,frames,required,shop\nZ last,DSC_{0011..0012}.jpg,front,N°7\nA first,one/*.jpg,,\nB,SKU [2],,\nC,missing*,,\n';
    const read = await withSheet(files, sheet);
    expect(read.garments).toEqual([
      {
        id: 'Z last',
        frames: ['DSC_0011.jpg', 'DSC_0012.jpg'],
        required: ['front'],
        columns: { shop: 'N°7' },
      },
      { id: 'A first', frames: ['one/1.jpg', 'one/2.JPG'], required: null, columns: { shop: '' } },
      { id: 'B', frames: ['SKU [2]/1.jpg', 'SKU [2]/2.jpg'], required: null, columns: { shop: '' } },
      { id: 'C', frames: [], required: null, columns: { shop: '' } },
      { id: 'DSC', frames: ['DSC_0013.jpg'], required: null, columns: {} },
      { id: 'rest', frames: ['rest/9.jpg'], required: null, columns: {} },
    ]);
    expect(read.remarks).toEqual([
      'Row 5 of the garment sheet: no frame was delivered for the garment "C".',
      '2 frames stand in no row of the garment sheet and became garments of their own: "DSC" (1), "rest" (1).',
    ]);
  });

  it('a leftover group never takes the name of a row', async () => {
    const read = await withSheet(['one/1.jpg', 'one/2.jpg'], 'garment,frames\nOne,1.jpg\n');
    expect(read.garments.map(({ id }) => id)).toEqual(['One', 'one (not in the sheet)']);
  });

  it('one of several patterns that fits nothing is named', async () => {
    const read = await withSheet(['a_1.jpg'], 'garment,frames\nA,a_*;b_*\n');
    expect(read.remarks).toEqual(['Row 2 of the garment sheet: nothing in the delivery fits "b_*".']);
  });

  it('sheets in UTF-16 and in the Western single-byte set', async () => {
    const text = 'garment,frames,Größe\nRock,*.jpg,Maß\n';
    for (const bytes of [
      Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(text, 'utf16le')]),
      Buffer.from(text, 'latin1'),
    ]) {
      expect((await withSheet(['1.jpg'], bytes)).garments[0]?.columns).toEqual({ Größe: 'Maß' });
    }
  });
});

describe('any sheet at all', () => {
  it('comes back from CSV as it went in (csv-stringify writes it)', () => {
    const word = fc.string({ minLength: 1, maxLength: 20, unit: 'grapheme' }).map((text) => text.trim());
    const name = word.filter((text) => text !== '');
    fc.assert(
      fc.property(
        fc.uniqueArray(name, {
          maxLength: 6,
          minLength: 1,
          selector: (text) => text.normalize('NFC').toLowerCase(),
        }),
        fc.array(word, { minLength: 6, maxLength: 6 }),
        (garments, notes) => {
          const records = garments.map((garment, i) => [garment, `g${i}/*`, notes[i]!]);
          const text = stringify([['garment', 'frames', 'note'], ...records]);
          expect(rows(text).map(({ garment, columns }) => [garment, columns.note])).toEqual(
            records.map(([garment, , note]) => [garment, note]),
          );
        },
      ),
      { numRuns: 150, seed: 3 },
    );
  });

  it('is rows or a usage error, never anything else', () => {
    const cell = fc.oneof(
      fc.string({ maxLength: 12 }),
      fc.constantFrom('"', '""', ';', '\n', '\r\n', '../', '*', '{a,b}', '[', '\\'),
    );
    fc.assert(
      fc.property(
        fc.array(fc.array(cell, { maxLength: 5 }), { maxLength: 6 }),
        fc.boolean(),
        (cells, headed) => {
          const text = `${headed ? 'garment,frames,required,x\n' : ''}${cells.map((row) => row.join(',')).join('\n')}`;
          try {
            for (const { garment, globs } of parseGarmentSheet(text, 's')) {
              expect(garment).not.toBe('');
              expect(globs.length).toBeGreaterThan(0);
              expect(globs.some((glob) => glob.text.split('/').includes('..'))).toBe(false);
            }
          } catch (error) {
            if (!(error instanceof CodedError) || error.kind !== 'usage') throw error;
          }
        },
      ),
      { numRuns: 800, seed: 5 },
    );
  });
});
