import type { Results } from '../contracts/results.ts';
import { garmentPage } from './html/garment-page.tsx';
import { indexPage } from './html/index-page.tsx';
import { styleSheet } from './html/style.ts';
import { garmentPageNames } from './links.ts';
import { retouchList } from './retouch-list.ts';
import { storeSheet } from './store-sheet.ts';

export interface Document {
  /** Relative to the output folder, `/` between folders. */
  readonly path: string;
  readonly body: string | Uint8Array;
}

/** Every document of a run. They know findings and no rules, and link to pictures that the run has put under `pictures/`. */
export function renderDocuments(results: Results): readonly Document[] {
  const pages = garmentPageNames(results);
  return [
    { path: 'index.html', body: indexPage(results, pages) },
    { path: 'style.css', body: styleSheet },
    ...results.garments.map((garment) => ({
      path: `garments/${pages.get(garment.id)}`,
      body: garmentPage(garment, results),
    })),
    { path: 'retouch-list.csv', body: retouchList(results) },
    { path: 'store-sheet.csv', body: storeSheet(results) },
  ];
}
