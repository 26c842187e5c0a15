import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

/** What decides a measurement: the code that makes it, the networks, and the libraries that decode and run them. */
const measuringFolders = ['contracts', 'decode', 'kernels', 'measure', 'numeric'];
const measuringPackages = ['assemblyscript', 'exifr', 'onnxruntime-node', 'sharp', 'zxing-wasm'];

const pipeline = new URL('../', import.meta.url);

function sources(folder: URL): string[] {
  const entries = readdirSync(folder, { recursive: true, withFileTypes: true });
  const root = fileURLToPath(folder);
  return entries
    .filter((entry) => entry.isFile() && /\.[jt]s$/.test(entry.name))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)))
    .sort();
}

function describe(): string {
  const parts: Record<string, string> = {};
  for (const name of measuringFolders) {
    const folder = new URL(`${name}/`, pipeline);
    for (const path of sources(folder))
      parts[`${name}/${path}`] = readFileSync(new URL(path, folder), 'utf8');
  }
  parts.networks = readFileSync(new URL('../models/manifest.json', pipeline), 'utf8');
  const { dependencies } = JSON.parse(readFileSync(new URL('../package.json', pipeline), 'utf8')) as {
    dependencies: Record<string, string>;
  };
  for (const name of measuringPackages) parts[name] = dependencies[name] ?? '';
  return JSON.stringify(parts);
}

let version: string | undefined;

/**
 * The version of everything that decides a measurement, 12 hex digits. It is derived from the measuring code, the networks'
 * manifest and the pinned libraries, so that nobody can forget to raise it; nothing from a profile goes in.
 */
export function measurementVersion(): string {
  version ??= createHash('sha256').update(describe()).digest('hex').slice(0, 12);
  return version;
}
