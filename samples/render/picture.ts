/**
 * The picture of the README: a garment's page of a finished demo report, as a browser shows it.
 *
 *     npm run demo && npx tsx samples/render/picture.ts nightrail-demo
 *
 * Needs Debian's chromium.
 */
import { join, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import sharp from 'sharp';
import { launchBrowser } from '../../tests/helpers/browser.ts';

const [report = 'nightrail-demo', page = 'garments/tea-dress.html'] = process.argv.slice(2);
const browser = await launchBrowser();
const tab = await browser.newPage({ viewport: { width: 1280, height: 1500 }, colorScheme: 'light' });
await tab.goto(pathToFileURL(join(resolve(report), page)).href);
await tab.waitForLoadState('networkidle');
const target = fileURLToPath(new URL('../report.webp', import.meta.url));
await sharp(await tab.screenshot())
  .webp({ quality: 80 })
  .toFile(target);
await browser.close();
console.log(`Written: ${target}`);
