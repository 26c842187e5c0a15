import type { GarmentResult, Results } from '../contracts/results.ts';
import { cameraCard } from './html/camera-card.tsx';
import { dayPage } from './html/day-page.tsx';
import { garmentPage } from './html/garment-page.tsx';
import { indexPage } from './html/index-page.tsx';
import { styleSheet } from './html/style.ts';
import { garmentPageNames } from './links.ts';
import { storePdf } from './pdf/store-pdf.ts';
import { retouchList, retouchWorkbook } from './retouch-list.ts';
import { sidecars } from './sidecars.ts';
import type { Sources } from './sources.ts';
import { storeSheet, storeWorkbook } from './store-sheet.ts';

export interface Document {
  /** Relative to the output folder, `/` between folders. */
  readonly path: string;
  readonly body: string | Uint8Array;
}

/** A document of text. */
export interface Page extends Document {
  readonly body: string;
}

/**
 * The pages of a run and their style sheet.
 * @param handOver whether the lists and sheets are there too, for the day's page to lead to.
 * @param pageOf a garment's page, where it may be known already: it tells of the garment, its frames and the profile, of nothing else.
 */
export function renderPages(
  results: Results,
  handOver: boolean,
  pageOf: (garment: GarmentResult) => string = (garment) => garmentPage(garment, results),
): readonly Page[] {
  const pages = garmentPageNames(results);
  return [
    { path: 'index.html', body: indexPage(results, pages, handOver) },
    { path: 'day.html', body: dayPage(results) },
    { path: 'camera-card.html', body: cameraCard(results) },
    { path: 'style.css', body: styleSheet },
    ...results.garments.map((garment) => ({
      path: `garments/${pages.get(garment.id)}`,
      body: pageOf(garment),
    })),
  ];
}

/** Every document of a run. They know findings and no rules, and link to pictures that the run has put under `pictures/`. */
export async function renderDocuments(results: Results, sources: Sources): Promise<readonly Document[]> {
  return [
    ...renderPages(results, true),
    { path: 'retouch-list.csv', body: retouchList(results) },
    { path: 'retouch-list.xlsx', body: await retouchWorkbook(results, sources) },
    { path: 'store-sheet.csv', body: storeSheet(results) },
    { path: 'store-sheet.xlsx', body: await storeWorkbook(results, sources) },
    { path: 'store-sheet.pdf', body: await storePdf(results, sources) },
    ...sidecars(results),
  ];
}
