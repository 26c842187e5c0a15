import type { GarmentResult, Results } from '../contracts/results.ts';
import { toCsv } from './csv.ts';
import { listing } from './words.ts';

/** Why a garment does not pass, in plain words: its own findings first, then what its frames suffer from and how many of them. */
export function reasons(garment: GarmentResult, results: Results): readonly string[] {
  if (garment.verdict === 'pass') return [];
  const own = garment.findings.filter(({ severity }) => severity !== 'note').map(({ title }) => title);
  const frames = new Map<string, Set<string>>();
  for (const frame of results.frames) {
    if (frame.garment !== garment.id) continue;
    for (const { severity, title } of frame.findings) {
      if (severity === 'note') continue;
      frames.set(title, (frames.get(title) ?? new Set()).add(frame.id));
    }
  }
  const fromFrames = [...frames].map(
    ([title, ids]) => `${title} (${ids.size} of ${garment.frames.length} frames)`,
  );
  return [...new Set([...own, ...fromFrames])];
}

/** The store's sheet: one row a garment, with the studio's own columns carried over. */
export function storeSheet(results: Results): string {
  const carried = [...new Set(results.garments.flatMap(({ columns }) => Object.keys(columns)))];
  const header = [
    'garment',
    'verdict',
    'frames',
    'frames that pass',
    'delivered',
    'missing',
    'reasons',
    ...carried,
  ];
  const rows = results.garments.map((garment) => [
    garment.id,
    garment.verdict,
    garment.frames.length,
    results.frames.filter(({ garment: id, verdict }) => id === garment.id && verdict === 'pass').length,
    listing(Object.keys(garment.coverage.covered)),
    listing(garment.coverage.missing),
    reasons(garment, results).join('; '),
    ...carried.map((name) => garment.columns[name] ?? ''),
  ]);
  return toCsv(header, rows);
}
