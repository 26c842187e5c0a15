import { readFile } from 'node:fs/promises';
import { networkManifestSchema } from '../contracts/network-manifest.ts';
import type { Results } from '../contracts/results.ts';

const root = new URL('../../', import.meta.url);

async function readJson(path: string): Promise<unknown> {
  return JSON.parse(await readFile(new URL(path, root), 'utf8'));
}

export async function toolVersion(): Promise<string> {
  return ((await readJson('package.json')) as { version: string }).version;
}

/** What made the results: this version, the measurement version, and every network by its SHA-256. */
export async function toolFacts(measurement: string): Promise<Results['tool']> {
  const { networks } = networkManifestSchema.parse(await readJson('models/manifest.json'));
  const models = Object.entries(networks)
    .map(([name, network]) => [name, network.sha256] as const)
    .sort(([a], [b]) => (a < b ? -1 : 1));
  return { version: await toolVersion(), measurement, models: Object.fromEntries(models) };
}
