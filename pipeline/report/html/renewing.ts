/**
 * Pages of a day that is still being shot: they load themselves again when they have changed, from the folder alone. A page may
 * not read other files, but it may show pictures: beside each page lies a small one whose width and height are the page's mark.
 */
import { createHash } from 'node:crypto';
import type { Page } from '../index.ts';
import { renewScript, renewScriptHash } from './renew-script.ts';
import { scriptHash } from './script.ts';

/** Sides of a mark, px: two numbers below this tell 10^8 pages apart. */
const mostPx = 10_000;

const note = `<aside class="top quiet" aria-label="State of the day">Frames are still coming in: this page renews itself while nightrail watch runs. The lists for the retoucher and the store are written when it ends.</aside>`;

function replaced(html: string, what: string, by: string): string {
  if (!html.includes(what)) throw new Error(`A page lacks ${what}.`);
  return html.replace(what, () => by);
}

/** The page as it renews itself, and the picture with its mark. */
export function renewing({ path, body }: Page): readonly [Page, Page] {
  const digest = createHash('sha256').update(body).digest();
  const [width, height] = [digest.readUInt32BE(0), digest.readUInt32BE(4)].map((n) => 1 + (n % mostPx));
  const mark = path.replace(/\.html$/, '.mark.svg');
  const source = encodeURIComponent(mark.split('/').at(-1)!);
  const script = `<script data-mark="${source}" data-width="${width}" data-height="${height}">${renewScript}</script>`;
  const allowed = replaced(body, `'${scriptHash}'`, `'${scriptHash}' '${renewScriptHash}'`);
  const noted = replaced(allowed, '<body>', `<body>${note}`);
  return [
    { path, body: replaced(noted, '</body>', `${script}</body>`) },
    { path: mark, body: `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"/>\n` },
  ];
}
