import { read, utils } from '@e965/xlsx';
import { unzipSync } from 'fflate';
import { afterEach, describe, expect, it, vi } from 'vitest';
import type { Results } from '../../../pipeline/contracts/results.ts';
import { retouchWorkbook } from '../../../pipeline/report/retouch-list.ts';
import { toXlsx } from '../../../pipeline/report/spreadsheet.ts';
import { storeWorkbook } from '../../../pipeline/report/store-sheet.ts';
import { demoResults, hostileName } from '../../helpers/demo-results.ts';
import { largeDay } from '../../helpers/large-day.ts';
import { plainSources } from '../../helpers/sources.ts';

/** Workbooks read back by an independent reader (@e965/xlsx, which also shows formulas). */

type Row = Readonly<Record<string, string | number>>;

function rowsOf(bytes: Uint8Array, sheet: string): readonly Row[] {
  const page = read(bytes).Sheets[sheet];
  if (page === undefined) throw new Error(`no sheet ${sheet}`);
  return utils.sheet_to_json<Row>(page, { defval: '' });
}

function pictureCount(bytes: Uint8Array): number {
  return Object.keys(unzipSync(bytes)).filter((path) => path.startsWith('xl/media/')).length;
}

afterEach(() => vi.useRealTimers());

describe('the store’s workbook', () => {
  it('has one row a garment, the studio’s own columns, pictures and a page of totals', async () => {
    const day = largeDay(9, 3);
    const bytes = await storeWorkbook(day, plainSources);
    const rows = rowsOf(bytes, 'Garments');
    expect(rows.map(({ garment }) => garment)).toEqual(day.garments.map(({ id }) => id));
    expect(rows[0]).toMatchObject({
      verdict: 'cleanup',
      frames: 3,
      'frames that pass': 2,
      delivered: 'front and back',
      reasons: 'Soft eyes (1 of 3 frames)',
      season: 'autumn',
      shelf: 'row 0',
    });
    expect(rows[8]).toMatchObject({ verdict: 'reshoot', missing: 'back' });
    // Two covered views a garment, one where the back is missing.
    expect(pictureCount(bytes)).toBe(17);
    const totals = rowsOf(bytes, 'Totals');
    expect(totals).toContainEqual({ about: 'garments', what: 'pass', garments: 6, frames: '' });
    expect(totals).toContainEqual({ about: 'frames', what: 'cleanup', garments: '', frames: 3 });
    expect(totals).toContainEqual({ about: 'missing', what: 'back', garments: 1, frames: '' });
    expect(totals).toContainEqual({ about: 'reason', what: 'Soft eyes', garments: 3, frames: 3 });
  });

  it('is the same bytes at another time', async () => {
    vi.useFakeTimers({ now: new Date('2026-05-12T08:00:00Z'), toFake: ['Date'] });
    const first = await storeWorkbook(demoResults, plainSources);
    vi.setSystemTime(new Date('2027-01-02T19:30:11Z'));
    const second = await storeWorkbook(demoResults, plainSources);
    expect(Buffer.from(second).equals(Buffer.from(first))).toBe(true);
  });
});

describe('the retoucher’s workbook', () => {
  const withPriority = (priorities: readonly string[]): Results => {
    const day = largeDay(priorities.length * 4, 2);
    return {
      ...day,
      garments: day.garments.map((garment, index) => ({
        ...garment,
        columns: { Priority: index % 4 === 0 ? (priorities[index / 4] ?? '') : '' },
      })),
    };
  };

  it('puts the most urgent garment first, by number or word, and garments without a priority last', async () => {
    const rows = rowsOf(
      await retouchWorkbook(withPriority(['', 'low', '2', 'Urgent', 'soon']), plainSources),
      'Retouch list',
    );
    expect(rows.map(({ priority }) => priority)).toEqual(['Urgent', '2', 'low', '', 'soon']);
    expect(rows.map(({ order }) => order)).toEqual([1, 2, 3, 4, 5]);
  });

  it('puts the most work first inside a garment, then the larger region', async () => {
    const day = largeDay(1, 2);
    const work = [
      { effort: 'light', region: [0, 0, 0.5, 0.5] },
      { effort: 'heavy', region: [0, 0, 0.1, 0.1] },
      {},
      { effort: 'light', region: [0, 0, 0.6, 0.6] },
    ];
    const frames = day.frames.map((frame) => ({
      ...frame,
      findings: frame.findings.flatMap((finding) => work.map((one) => ({ ...finding, ...one }))),
    })) as Results['frames'];
    const rows = rowsOf(await retouchWorkbook({ ...day, frames }, plainSources), 'Retouch list');
    expect(rows.map((row) => [row.effort, row['share of frame']])).toEqual([
      ['heavy', 0.01],
      ['light', 0.36],
      ['light', 0.25],
      ['', ''],
    ]);
  });

  it('has a picture in every row, and says so where there is none', async () => {
    const bytes = await retouchWorkbook(largeDay(8, 2), plainSources);
    expect(pictureCount(bytes)).toBe(rowsOf(bytes, 'Retouch list').length);
    const bare = await retouchWorkbook(largeDay(1, 2), { ...plainSources, readPicture: async () => null });
    expect(rowsOf(bare, 'Retouch list')[0]?.picture).toBe('no picture');
  });

  it('gives places in whole px of the frame', async () => {
    const [row] = rowsOf(await retouchWorkbook(demoResults, plainSources), 'Retouch list');
    const file = demoResults.frames[0]?.measurement?.file;
    expect(row).toMatchObject({
      garment: hostileName,
      'x px': Math.round(0.05 * (file?.width ?? 0)),
      check: 'background-person',
    });
  });
});

describe('what a workbook must not do', () => {
  const cells = [
    `=HYPERLINK("http://example.invalid","x")`,
    '+1+1',
    '-2',
    '@SUM(A1)',
    '\t=1+1',
    '＝1+1',
    '_x003D_1+1',
    'a\u0000b\u202Ec\ud800',
    '</t></si><si><t>',
  ];

  it('run anything: every text is stored as text and reads back as it was', async () => {
    const bytes = await toXlsx([
      {
        name: 'Page',
        columns: [{ name: '=1+1', width: 10 }],
        pictureHeightPx: 10,
        rows: cells.map((text) => ({ cells: [text] })),
      },
    ]);
    const page = read(bytes, { cellFormula: true }).Sheets.Page ?? {};
    const read_ = Object.entries(page).filter(([at]) => /^A\d+$/.test(at));
    expect(read_.map(([, cell]) => cell.f)).toEqual(read_.map(() => undefined));
    expect(read_.map(([, cell]) => cell.t)).toEqual(read_.map(() => 's'));
    expect(read_.map(([, cell]) => cell.v)).toEqual([
      '=1+1',
      ...cells.slice(0, 4),
      '=1+1',
      ...cells.slice(5, 7),
      'a b c',
      '</t></si><si><t>',
    ]);
  });

  it('hold a number that is none', async () => {
    const page = { name: 'Page', columns: [{ name: 'n', width: 8 }], pictureHeightPx: 10 };
    await expect(toXlsx([{ ...page, rows: [{ cells: [Number.NaN] }] }])).rejects.toThrow(RangeError);
  });
});
