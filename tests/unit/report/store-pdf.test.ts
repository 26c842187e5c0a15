import { extractText, getDocumentProxy } from 'unpdf';
import { describe, expect, it, vi } from 'vitest';
import { storePdf } from '../../../pipeline/report/pdf/store-pdf.ts';
import { demoResults, hostileName } from '../../helpers/demo-results.ts';
import { largeDay } from '../../helpers/large-day.ts';
import { plainSources } from '../../helpers/sources.ts';

/** Text taken out of the PDF by an independent reader (unpdf, that is PDF.js). */
async function pagesOf(bytes: Uint8Array): Promise<readonly string[]> {
  const { text } = await extractText(await getDocumentProxy(new Uint8Array(bytes)), { mergePages: false });
  return text.map((page) => page.replace(/\s+/g, ' '));
}

describe('the store’s PDF', () => {
  it('has every garment once, the head on every page of the table, and the totals last', async () => {
    const day = largeDay(31, 3);
    const pages = await pagesOf(await storePdf(day, plainSources));
    expect(pages.length).toBeGreaterThan(3);
    const all = pages.join(' ');
    for (const { id } of day.garments) expect(all.split(id).length - 1, id).toBe(1);
    for (const [index, page] of pages.entries()) {
      expect(page).toContain(`${index + 1} of ${pages.length}`);
      expect(page).toContain(index < pages.length - 1 ? 'Views and crops' : 'Totals');
    }
    expect(pages.at(-1)).toMatch(/Soft eyes 8 8/);
    expect(pages.at(-1)).toMatch(/No back view 3/);
    expect(all).toContain('season: autumn');
    expect(all).toContain('Missing: back');
  });

  it('prints hostile names as the text they are', async () => {
    const all = (await pagesOf(await storePdf(demoResults, plainSources))).join(' ');
    expect(all.replaceAll(' ', '')).toContain(hostileName.replaceAll(' ', ''));
  });

  it('prints letters beyond the Western ones, which the fonts built into PDF readers lack', async () => {
    const day = largeDay(1, 2);
    const id = 'Łódź – юбка ≤ Δ✓';
    const garments = day.garments.map((garment) => ({ ...garment, id }));
    const frames = day.frames.map((frame) => ({ ...frame, garment: id }));
    expect((await pagesOf(await storePdf({ ...day, garments, frames }, plainSources))).join(' ')).toContain(
      id,
    );
  });

  it('says which sign stands for letters that it cannot print', async () => {
    const named = async (id: string): Promise<string> => {
      const day = largeDay(1, 2);
      const garments = day.garments.map((garment) => ({ ...garment, id }));
      const frames = day.frames.map((frame) => ({ ...frame, garment: id }));
      return (await pagesOf(await storePdf({ ...day, garments, frames }, plainSources))).join(' ');
    };
    const mixed = await named('絹 шёлк 👗');
    expect(mixed).toContain('□ шёлк □');
    expect(mixed).toContain('□ stands for letters that this sheet cannot print');
    expect(await named('шёлк')).not.toContain('□');
  });

  it('cuts a row that is longer than a page and says so', async () => {
    const day = largeDay(1, 2);
    const columns = Object.fromEntries(
      Array.from({ length: 200 }, (_, n) => [`column ${n}`, 'x'.repeat(40)]),
    );
    const garments = day.garments.map((garment) => ({ ...garment, columns }));
    const pages = await pagesOf(await storePdf({ ...day, garments }, plainSources));
    expect(pages.length).toBeLessThanOrEqual(3);
    expect(pages.join(' ')).toMatch(/and \d+ more, on the garment’s page/);
  });

  it('is the same bytes at another time', async () => {
    vi.useFakeTimers({ now: new Date('2026-05-12T08:00:00Z'), toFake: ['Date'] });
    const first = Buffer.from(await storePdf(demoResults, plainSources));
    vi.setSystemTime(new Date('2027-01-02T19:30:11Z'));
    const second = Buffer.from(await storePdf(demoResults, plainSources));
    expect(second.equals(first)).toBe(true);
    vi.useRealTimers();
  });

  it('says where there is no picture', async () => {
    const bytes = await storePdf(largeDay(1, 2), { ...plainSources, readPicture: async () => null });
    expect((await pagesOf(bytes))[0]).toContain('no picture');
  });
});
