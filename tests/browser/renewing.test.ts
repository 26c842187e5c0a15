/** Pages of a day that is still being shot, in real Chromium from disk: they renew themselves and keep the reader's place. */
import { rmSync } from 'node:fs';
import { mkdir, rename, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it, onTestFinished } from 'vitest';
import type { Results } from '../../pipeline/contracts/results.ts';
import { renewing } from '../../pipeline/report/html/renewing.ts';
import { renderPages } from '../../pipeline/report/index.ts';
import { accessibilityFaults, launchBrowser, sidewaysPx } from '../helpers/browser.ts';
import { largeDay } from '../helpers/large-day.ts';
import { scratchFolder } from '../helpers/scratch.ts';

const whole = largeDay(1, 8);
const newest = whole.frames[0]!.id;
const before: Results = {
  ...whole,
  frames: whole.frames.filter(({ id }) => id !== newest),
  garments: whole.garments.map((garment) => ({
    ...garment,
    frames: garment.frames.filter((id) => id !== newest),
  })),
};
const garmentPath = 'garments/style-001.html';
let browser: Browser;

beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser?.close());

/** Each file whole or not at all, as the product writes them. */
async function put(folder: string, results: Results, live: boolean): Promise<void> {
  const pages = renderPages(results, !live);
  const files = live
    ? pages.flatMap((page) => (page.path.endsWith('.html') ? renewing(page) : [page]))
    : pages;
  for (const { path, body } of files) {
    await mkdir(dirname(join(folder, path)), { recursive: true });
    await writeFile(join(folder, `${path}.tmp`), body);
    await rename(join(folder, `${path}.tmp`), join(folder, path));
  }
}

async function open(
  folder: string,
  path: string,
): Promise<{ page: Page; requests: string[]; faults: string[] }> {
  const context = await browser.newContext({ viewport: { width: 1000, height: 700 } });
  onTestFinished(() => context.close());
  const page = await context.newPage();
  const requests: string[] = [];
  const faults: string[] = [];
  page.on('request', (request) => requests.push(request.url()));
  page.on('console', (message) => message.text().includes('Content Security') && faults.push(message.text()));
  page.on('pageerror', (error) => faults.push(error.message));
  await page.goto(pathToFileURL(join(folder, path)).href);
  return { page, requests, faults };
}

const topOf = (page: Page, name: string): Promise<number> =>
  page.getByRole('heading', { name }).evaluate((heading) => heading.getBoundingClientRect().top);

it('renews itself when a frame comes in, at the same place, without leaving the folder', async () => {
  const folder = scratchFolder();
  await put(folder, before, true);
  const { page, requests, faults } = await open(folder, garmentPath);
  const reading = before.frames[4]!.id;
  const section = page.locator('section.frame').filter({ has: page.getByRole('heading', { name: reading }) });
  await section.locator('summary').click();
  await page.getByRole('heading', { name: reading }).evaluate((heading) => {
    heading.scrollIntoView();
    scrollBy(0, 25);
  });
  await section.locator('summary').focus({ timeout: 5000 });
  const top = await topOf(page, reading);
  const scrolled = await page.evaluate(() => scrollY);

  await put(folder, whole, true);
  await page.getByRole('heading', { name: newest }).waitFor({ state: 'attached' });
  await page.waitForFunction((y) => scrollY !== y, scrolled);
  expect(Math.abs((await topOf(page, reading)) - top)).toBeLessThanOrEqual(1);
  expect(await section.locator('details').evaluate((details: HTMLDetailsElement) => details.open)).toBe(true);
  expect(await page.locator('details[open]').count()).toBe(1);
  expect(await section.locator('summary').evaluate((summary) => summary === document.activeElement)).toBe(
    true,
  );
  expect(requests.filter((url) => !url.startsWith(pathToFileURL(folder).href))).toEqual([]);
  expect(faults).toEqual([]);
});

it('keeps the filter, and does not load again where nothing changed or text is marked', async () => {
  const folder = scratchFolder();
  await put(folder, before, true);
  const { page } = await open(folder, garmentPath);
  await page.getByRole('button', { name: 'cleanup' }).click();
  const shown = await page.locator('.contact li:visible').count();
  await page.evaluate(() => {
    document.body.dataset.first = 'yes';
    getSelection()?.selectAllChildren(document.querySelector('h1')!);
  });
  await put(folder, whole, true);
  await page.waitForTimeout(2500);
  expect(await page.evaluate(() => document.body.dataset.first)).toBe('yes');
  await page.evaluate(() => getSelection()?.removeAllRanges());
  await page.waitForFunction(() => document.body.dataset.first === undefined);
  expect(await page.getByRole('button', { name: 'cleanup' }).getAttribute('aria-pressed')).toBe('true');
  expect(await page.locator('.contact li:visible').count()).toBe(shown);
  await page.evaluate(() => {
    document.body.dataset.first = 'yes';
  });
  await page.waitForTimeout(2500);
  expect(await page.evaluate(() => document.body.dataset.first)).toBe('yes');
});

it('becomes the page that stays when the watch ends', async () => {
  const folder = scratchFolder();
  await put(folder, before, true);
  const { page } = await open(folder, 'index.html');
  await page.getByText('this page renews itself').waitFor();
  expect(await page.getByRole('link', { name: 'workbook' }).count()).toBe(0);
  await page.waitForTimeout(1500);
  await put(folder, whole, false);
  rmSync(join(folder, 'index.mark.svg'));
  await page.getByRole('link', { name: 'workbook' }).first().waitFor();
  expect(await page.getByText('this page renews itself').count()).toBe(0);
});

it.each([360, 1440])(
  'has no fault that axe finds and needs no sideways scrolling at %i px',
  async (width) => {
    const folder = scratchFolder();
    await put(folder, whole, true);
    const { page } = await open(folder, garmentPath);
    await page.setViewportSize({ width, height: 800 });
    expect(await accessibilityFaults(page)).toEqual([]);
    expect(await sidewaysPx(page)).toBe(0);
  },
);
