import { mkdtempSync } from 'node:fs';
import { mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { getDocumentProxy } from 'unpdf';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { renderDocuments } from '../../pipeline/report/index.ts';
import { picturesFolder } from '../../pipeline/report/links.ts';
import { accessibilityFaults, launchBrowser, sidewaysPx } from '../helpers/browser.ts';
import { demoResults, hostileName } from '../helpers/demo-results.ts';
import { largeDay } from '../helpers/large-day.ts';
import { plainJpeg, plainSources } from '../helpers/sources.ts';

/** Real Chromium on pages opened from disk, as the studio opens them. */

const folder = mkdtempSync(join(tmpdir(), 'nightrail-pages-'));
const documents = await renderDocuments(demoResults, plainSources);
const pages = documents.filter(({ path }) => path.endsWith('.html')).map(({ path }) => path);
let browser: Browser;

async function put(path: string, body: string | Uint8Array): Promise<void> {
  await mkdir(dirname(join(folder, path)), { recursive: true });
  await writeFile(join(folder, path), body);
}

beforeAll(async () => {
  for (const { path, body } of documents) await put(path, body);
  await put('results.json', JSON.stringify(demoResults));
  for (const { measurement } of demoResults.frames) {
    for (const { file, width, height } of measurement?.pictures ?? []) {
      await put(`${picturesFolder(measurement?.contentHash ?? '')}/${file}`, await plainJpeg(width, height));
    }
  }
  browser = await launchBrowser();
});

afterAll(async () => {
  await browser?.close();
  await rm(folder, { recursive: true, force: true });
});

async function open(
  path: string,
  options: Parameters<Browser['newContext']>[0] = {},
): Promise<{ page: Page; requests: string[] }> {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const requests: string[] = [];
  page.on('request', (request) => requests.push(request.url()));
  await page.goto(pathToFileURL(join(folder, path)).href);
  return { page, requests };
}

describe.each(pages)('%s', (path) => {
  it('asks for nothing outside its folder, and every link and picture is there', async () => {
    const { page, requests } = await open(path);
    await page.evaluate(() => {
      for (const image of document.images) image.loading = 'eager';
    });
    await page.waitForFunction(() => [...document.images].every((image) => image.complete));
    expect(
      await page.evaluate(() =>
        [...document.images].filter((image) => image.naturalWidth === 0).map((image) => image.src),
      ),
    ).toEqual([]);
    expect(requests.filter((url) => !url.startsWith(pathToFileURL(folder).href))).toEqual([]);
    const links = await page.evaluate(() => [...document.links].map((link) => link.href));
    expect(links.length).toBeGreaterThan(0);
    for (const link of links) {
      const url = new URL(link);
      expect(url.protocol).toBe('file:');
      await expect(readFile(new URL(url.pathname, 'file:///')), link).resolves.toBeTruthy();
      if (url.hash !== '') expect(await page.locator(`[id="${url.hash.slice(1)}"]`).count()).toBe(1);
    }
    await page.context().close();
  });

  // WCAG 2.2 A and AA rules as axe-core implements them.
  it.each([
    ['light', 1280],
    ['dark', 360],
  ] as const)('has no accessibility fault that axe finds, %s at %i px', async (colorScheme, width) => {
    const { page } = await open(path, { colorScheme, viewport: { width, height: 800 } });
    expect(await accessibilityFaults(page)).toEqual([]);
    await page.context().close();
  });

  it.each([360, 1920])('needs no sideways scrolling at %i px', async (width) => {
    const { page } = await open(path, { viewport: { width, height: 800 } });
    expect(await sidewaysPx(page)).toBe(0);
    await page.context().close();
  });
});

describe('the day page', () => {
  it('is walked by keyboard to a garment and back, without scripts', async () => {
    const { page } = await open('index.html', { javaScriptEnabled: false });
    const target = page.getByRole('link', { name: hostileName });
    for (let presses = 0; presses < 40; presses += 1) {
      await page.keyboard.press('Tab');
      if (await target.evaluate((link) => link === document.activeElement).catch(() => false)) break;
    }
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { level: 1, name: hostileName }).waitFor();
    await page.getByRole('link', { name: 'All garments' }).press('Enter');
    await page.getByRole('heading', { level: 1, name: 'Delivery report' }).waitFor();
    await page.context().close();
  });
});

describe('with the script', () => {
  it('the day page filters by verdict and says how many are left, and shows all again', async () => {
    const { page } = await open('index.html');
    const cards = page.locator('.card:visible');
    expect(await cards.count()).toBe(3);
    await page.getByRole('button', { name: 'reshoot' }).press('Enter');
    expect(await cards.count()).toBe(1);
    expect(await page.getByRole('status').textContent()).toBe('1 of 3 shown');
    expect(await page.getByRole('heading', { level: 2, name: 'pass' }).count()).toBe(0);
    await page.getByRole('button', { name: 'pass' }).press('Space');
    expect(await cards.count()).toBe(2);
    for (const name of ['reshoot', 'pass']) await page.getByRole('button', { name }).click();
    expect(await cards.count()).toBe(3);
    await page.context().close();
  });

  it('arrow keys go from garment to garment while one has the focus, and scroll otherwise', async () => {
    const { page } = await open('index.html');
    const links = page.locator('.card a');
    await links.nth(0).focus();
    await page.keyboard.press('ArrowRight');
    expect(await links.nth(1).evaluate((link) => link === document.activeElement)).toBe(true);
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('ArrowLeft');
    expect(await links.nth(0).evaluate((link) => link === document.activeElement)).toBe(true);
    await page.context().close();
  });

  it('no buttons are left that do nothing without it', async () => {
    const { page } = await open('index.html', { javaScriptEnabled: false });
    expect(await page.locator('button:visible').count()).toBe(0);
    await page.context().close();
  });

  it('a script that a name would bring is not run', async () => {
    const { page } = await open('index.html');
    const ran = await page.evaluate(() => {
      const foreign = document.createElement('script');
      foreign.textContent = 'globalThis.foreign = true';
      document.body.append(foreign);
      return 'foreign' in globalThis;
    });
    expect(ran).toBe(false);
    await page.context().close();
  });
});

describe('a day of 25 garments and 250 frames', () => {
  it('has a day page below 2 MB with its pictures', async () => {
    const day = largeDay(25, 10);
    const index = (await renderDocuments(day, plainSources)).find(({ path }) => path === 'index.html');
    // A small picture of a real photograph, 240 px at quality 82, takes 6 to 14 kB.
    const pictures = 25 * 14_000;
    expect(Buffer.byteLength(index?.body ?? '') + pictures).toBeLessThan(2_000_000);
    expect(index?.body).not.toContain('frame.jpg');
  });

  it('is on the screen within a second, the best of five tries on a machine that does other things too', async () => {
    const day = largeDay(25, 10);
    const where = (path: string): string => `large/${path}`;
    for (const { path, body } of await renderDocuments(day, plainSources))
      if (path === 'index.html' || path === 'style.css') await put(where(path), body);
    for (const { measurement } of day.frames)
      await put(
        where(`${picturesFolder(measurement?.contentHash ?? '')}/small.jpg`),
        await plainJpeg(160, 240),
      );
    const ms: number[] = [];
    for (let n = 0; n < 5; n += 1) {
      const { page } = await open(where('index.html'));
      ms.push(await page.evaluate(() => performance.getEntriesByType('navigation')[0]?.duration ?? Infinity));
      await page.context().close();
    }
    expect(Math.min(...ms)).toBeLessThan(1000);
  });
});

describe.each(['A4', 'Letter'] as const)('on %s paper', (format) => {
  it('the camera card takes one page, and no page cuts anything off sideways', async () => {
    for (const path of ['camera-card.html', 'index.html', 'day.html']) {
      const { page } = await open(path);
      const pdf = await page.pdf({ format, preferCSSPageSize: false });
      const { numPages } = await getDocumentProxy(new Uint8Array(pdf));
      if (path === 'camera-card.html') expect(numPages).toBe(1);
      await page.emulateMedia({ media: 'print' });
      // 210 mm and 8.5 inch at 96 px to the inch, less the margins of 14 mm.
      await page.setViewportSize({ width: (format === 'A4' ? 794 : 816) - 106, height: 900 });
      expect(await sidewaysPx(page), path).toBe(0);
      await page.context().close();
    }
  });
});
