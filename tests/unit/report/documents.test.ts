import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../pipeline/contracts/finding.ts';
import type { FrameResult, GarmentResult, Results } from '../../../pipeline/contracts/results.ts';
import { dayOf } from '../../../pipeline/judge/day/day.ts';
import { renderDocuments } from '../../../pipeline/report/index.ts';
import { garmentPageNames } from '../../../pipeline/report/links.ts';
import { figure, listing, quantity } from '../../../pipeline/report/words.ts';
import { aMeasurement } from '../../helpers/measurement.ts';
import { plainSources } from '../../helpers/sources.ts';

const hostile = `=HYPERLINK("x")"><script>alert(1)</script>`;

const finding = (over: Partial<Finding> = {}): Finding => ({
  check: 'background-person',
  severity: 'cleanup',
  title: 'Person in the background',
  detail: 'Paint out.',
  value: 0.02,
  limit: 0.001,
  unit: 'share',
  source: 'common practice',
  ...over,
});

const frame = (id: string, garment: string, over: Partial<FrameResult> = {}): FrameResult => ({
  id,
  garment,
  verdict: 'pass',
  findings: [],
  measurement: null,
  ...over,
});

const garment = (
  id: string,
  frames: readonly string[],
  over: Partial<GarmentResult> = {},
): GarmentResult => ({
  id,
  verdict: 'pass',
  frames: [...frames],
  findings: [],
  coverage: { required: [], covered: {}, missing: [] },
  drift: { reference: null, worst: null, frames: [], flashAgainstNatural: null },
  columns: {},
  ...over,
});

const results = (garments: GarmentResult[], frames: FrameResult[]): Results => ({
  schema: 'nightrail/results@1',
  run: { startedAt: 'a', finishedAt: 'b', host: 'h', dispatch: 'threads' },
  tool: { version: '0', measurement: 'm', models: {} },
  profile: { name: 'p', hash: 'x', checks: {} },
  remarks: [],
  day: dayOf(frames),
  garments,
  frames,
});

async function body(of: Results, path: string): Promise<string> {
  const found = (await renderDocuments(of, plainSources)).find((document) => document.path === path);
  return String(found?.body);
}

describe('CSV documents', () => {
  const day = results(
    [garment('g', ['g/1.jpg', 'g/2.jpg'], { verdict: 'cleanup', columns: { '=sku': '+1' } })],
    [
      frame('g/1.jpg', 'g', {
        verdict: 'cleanup',
        findings: [
          finding({ region: [0, 0, 0.1, 0.1] }),
          finding({ region: [0, 0, 0.5, 0.5], title: hostile }),
        ],
      }),
      frame('g/2.jpg', 'g'),
    ],
  );

  it('gives one row for each thing to mend, the largest piece of work first', async () => {
    const rows = parse(await body(day, 'retouch-list.csv'), { bom: true, columns: true }) as Record<
      string,
      string
    >[];
    expect(rows.map((row) => row['share of frame'])).toEqual(['0.25', '0.01']);
    expect(rows.map((row) => row.order)).toEqual(['1', '2']);
  });

  it('neutralises what a spreadsheet would run, in cells and in carried column names', async () => {
    expect(parse(await body(day, 'retouch-list.csv'), { bom: true })[1]?.[4]).toBe(`'${hostile}`);
    const [header, row] = parse(await body(day, 'store-sheet.csv'), { bom: true }) as string[][];
    expect(header?.at(-1)).toBe(`'=sku`);
    expect(row?.at(-1)).toBe(`'+1`);
  });

  it('says in the store sheet how many frames suffer from what', async () => {
    const [row] = parse(await body(day, 'store-sheet.csv'), { bom: true, columns: true }) as Record<
      string,
      string
    >[];
    expect(row?.verdict).toBe('cleanup');
    expect(row?.['frames that pass']).toBe('1');
    expect(row?.reasons).toContain('Person in the background (1 of 2 frames)');
  });

  it('names what is missing in one reason', async () => {
    const gone = (view: string): Finding =>
      finding({ check: 'missing-view', severity: 'reject', title: `${view} missing` });
    const findings = [gone('Front view'), finding({ title: 'Too few frames' }), gone('Waist crop')];
    const lacking = results([garment('g', [], { verdict: 'reshoot', findings })], []);
    const [row] = parse(await body(lacking, 'store-sheet.csv'), { bom: true, columns: true }) as Record<
      string,
      string
    >[];
    expect(row?.reasons).toBe('Front view and waist crop missing; Too few frames');
  });
});

describe('HTML pages', () => {
  it('escapes names from the delivery and keeps the policy against foreign requests', async () => {
    const day = results([garment(hostile, [hostile])], [frame(hostile, hostile)]);
    for (const { path, body: html } of await renderDocuments(day, plainSources)) {
      if (!path.endsWith('.html')) continue;
      // One script, the pages' own: nothing of a name.
      expect(String(html).split('<script').length, path).toBe(2);
      expect(html, path).not.toContain('alert(1)</');
      expect(html, path).toContain("default-src 'none'");
    }
  });

  it('draws the levels of a frame, and marks and names the clipped end of each channel', async () => {
    const clear = aMeasurement();
    const { histogram } = clear.exposure;
    const px = histogram.red.bins.reduce((a, b) => a + b);
    const red = { ...histogram.red, atCeiling: px / 50 };
    const clipped = { ...clear, exposure: { ...clear.exposure, histogram: { ...histogram, red } } };
    const page = async (measurement: typeof clear): Promise<string> =>
      body(results([garment('g', ['g/1.jpg'])], [frame('g/1.jpg', 'g', { measurement })]), 'garments/g.html');
    expect(await page(clear)).toContain('no channel is clipped.');
    expect(await page(clear)).not.toContain('clipped ▸');
    const html = await page(clipped);
    expect(html.match(/[^>]*clipped ▸/g)).toEqual(['2 % clipped ▸']);
    expect(html).toContain('red 2 % at the ceiling, green 0 % at the ceiling');
  });

  it('puts the garments that need a reshoot first', async () => {
    const day = results(
      [
        garment('alpha', []),
        garment('beta', [], { verdict: 'reshoot' }),
        garment('gamma', [], { verdict: 'cleanup' }),
      ],
      [],
    );
    const html = await body(day, 'index.html');
    const order = ['>beta<', '>gamma<', '>alpha<'].map((name) => html.indexOf(name));
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(Math.min(...order)).toBeGreaterThan(0);
  });
});

describe('garment page names', () => {
  it('are unique without regard to case and hold no separators', () => {
    const ids = ['a/b', 'a b', 'A-B', '..', '', 'юбка', '日本', 'x'.repeat(300)];
    const names = [
      ...garmentPageNames(
        results(
          ids.map((id) => garment(id, [])),
          [],
        ),
      ).values(),
    ];
    expect(new Set(names.map((name) => name.toLowerCase())).size).toBe(ids.length);
    for (const name of names) expect(name).toMatch(/^[\p{L}\p{N}-]{1,90}\.html$/u);
  });
});

describe('words', () => {
  it('writes numbers as people do', () => {
    expect(figure(0.012345)).toBe('0.0123');
    expect(figure(5123.4)).toBe('5123');
    expect(quantity(0.0123, 'share')).toBe('1.23 %');
    expect(quantity(0.004, 's')).toBe('1/250 s');
    expect(quantity(null, 'px')).toBe('not measured');
    expect(listing(['a', 'b', 'c'])).toBe('a, b and c');
  });
});
