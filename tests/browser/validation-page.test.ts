import { mkdtempSync } from 'node:fs';
import { rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessibilityFaults, launchBrowser, sidewaysPx } from '../helpers/browser.ts';
import { validationPage } from '../validation/page.tsx';
import type { Sweep } from '../validation/sweep.ts';

const about = { unit: 'px', range: 'made up', source: 'this test', limitText: '10 %' };
const within = { low: 0.9, high: 1.1 };
/** One that holds, one with a point outside and one without a number, and one whose truth is always the same. */
const sweeps: readonly Sweep[] = [
  {
    ...about,
    id: 'held',
    quantity: 'a length that holds',
    points: Array.from({ length: 200 }, (_, i) => {
      const truth = 1 + Math.floor(i / 20);
      return {
        truth,
        measured: truth * (0.95 + (i % 20) / 200),
        low: truth * 0.9,
        high: truth * 1.1,
        condition: `${i}`,
      };
    }),
  },
  {
    ...about,
    id: 'missed',
    quantity: 'a length that does not',
    points: [
      { truth: 1, measured: 1.3, ...within, condition: '<b>bold</b>' },
      { truth: 2, measured: null, low: 1.8, high: 2.2, condition: 'nothing' },
      { truth: 3, measured: 3, low: 2.7, high: 3.3, condition: 'well' },
    ],
  },
  {
    ...about,
    id: 'same',
    quantity: 'one length several times',
    points: [0.95, 1, 1.05].map((measured) => ({ truth: 1, measured, ...within, condition: 'again' })),
  },
];

const folder = mkdtempSync(join(tmpdir(), 'nightrail-validation-'));
const path = join(folder, 'measurement-validation.html');
let browser: Browser;
let page: Page;

beforeAll(async () => {
  await writeFile(path, validationPage(sweeps, null));
  browser = await launchBrowser();
});
afterAll(async () => {
  await browser?.close();
  await rm(folder, { recursive: true, force: true });
});

describe.each([
  [360, 'light'],
  [1440, 'dark'],
] as const)('the validation page at %i px, %s', (width, colorScheme) => {
  beforeAll(async () => {
    page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme });
    await page.goto(pathToFileURL(path).href);
  });
  afterAll(() => page.close());

  it('fits, and has no accessibility fault that axe finds', async () => {
    expect(await sidewaysPx(page)).toBe(0);
    expect(await accessibilityFaults(page)).toEqual([]);
  });

  it('draws every sweep inside its drawing, with its limits', async () => {
    for (const { id, points } of sweeps) {
      const drawings = page.locator(`#${id} svg`);
      const oneTruth = new Set(points.map(({ truth }) => truth)).size === 1;
      expect(await drawings.count()).toBe(oneTruth ? 1 : 2);
      for (const drawing of await drawings.all()) {
        expect(await drawing.locator('.limit').count()).toBe(2);
        const outside = await drawing.evaluate((svg) => {
          const frame = svg.getBoundingClientRect();
          return [...svg.querySelectorAll('text, path, polyline, circle')].filter((part) => {
            const { left, right, top, bottom } = part.getBoundingClientRect();
            return left < frame.left || right > frame.right || top < frame.top || bottom > frame.bottom;
          }).length;
        });
        expect(outside).toBe(0);
      }
    }
  });

  it('says in the table what holds and what does not, and marks each point outside', async () => {
    expect(await page.locator('table .holds').count()).toBe(2);
    expect(await page.locator('table .fails').textContent()).toBe('2 of 3 points outside');
    expect(await page.locator('#missed svg').first().locator('.outside').count()).toBe(2);
    expect(await page.locator('#missed svg title').first().textContent()).toContain('<b>bold</b>');
  });
});
