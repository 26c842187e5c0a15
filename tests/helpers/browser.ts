/** Debian's Chromium on pages opened from disk, as the studio opens them. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { type Browser, chromium, type Page } from 'playwright-core';

export function launchBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: '/usr/bin/chromium',
    chromiumSandbox: false,
    args: [
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

/** What axe-core finds against the WCAG 2.2 A and AA rules, one text each. */
export async function accessibilityFaults(page: Page): Promise<readonly string[]> {
  await page.evaluate(await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8'));
  return page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
    };
    return (await axe.run()).violations.map(
      ({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`,
    );
  });
}

/** Px that the page is wider than its window. */
export function sidewaysPx(page: Page): Promise<number> {
  return page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
}
