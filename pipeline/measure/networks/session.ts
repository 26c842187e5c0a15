/** The one place that runs the networks: reads them from `models/`, checks their bytes, keeps one session each per thread. */
import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { InferenceSession, Tensor } from 'onnxruntime-node';
import {
  type Network,
  type NetworkManifest,
  type NetworkName,
  networkManifestSchema,
} from '../../contracts/network-manifest.ts';

/** Relative to this file, so the working folder does not matter. */
const modelsFolder = new URL('../../../models/', import.meta.url);

export interface NetworkOutput {
  readonly data: Float32Array;
  readonly shape: readonly number[];
}

let manifest: Promise<NetworkManifest> | undefined;
const sessions = new Map<NetworkName, Promise<InferenceSession>>();

async function readManifest(folder: URL): Promise<NetworkManifest> {
  const path = fileURLToPath(new URL('manifest.json', folder));
  try {
    return networkManifestSchema.parse(JSON.parse(await readFile(path, 'utf8')));
  } catch (cause) {
    throw new Error(`The list of networks ${path} cannot be read; restore it from the repository.`, {
      cause,
    });
  }
}

const currentManifest = (): Promise<NetworkManifest> => {
  if (manifest === undefined) {
    manifest = readManifest(modelsFolder);
    // A failed reading is not remembered: the next frame may find the file restored.
    manifest.catch(() => {
      manifest = undefined;
    });
  }
  return manifest;
};

function describe(name: NetworkName, source: NetworkManifest): Network {
  const network = source.networks[name];
  if (network === undefined)
    throw new Error(`The list of networks has no ${name}; restore models/manifest.json.`);
  return network;
}

/**
 * Bytes of a network, checked against the manifest.
 * @throws Error naming the file where it is missing or differs from the manifest.
 */
export async function loadNetwork(name: NetworkName, folder: URL = modelsFolder): Promise<Uint8Array> {
  const network = describe(name, await (folder === modelsFolder ? currentManifest() : readManifest(folder)));
  const path = fileURLToPath(new URL(network.file, folder));
  let bytes: Uint8Array;
  try {
    bytes = await readFile(path);
  } catch (cause) {
    throw new Error(`The network ${path} cannot be read; restore it from the repository.`, { cause });
  }
  const found = createHash('sha256').update(bytes).digest('hex');
  if (found !== network.sha256) {
    throw new Error(
      `The network ${path} is not the one in models/manifest.json (SHA-256 ${found}, expected ${network.sha256}); ` +
        'restore it from the repository.',
    );
  }
  return bytes;
}

async function open(name: NetworkName): Promise<InferenceSession> {
  return InferenceSession.create(await loadNetwork(name), {
    executionProviders: ['cpu'],
    // One frame a thread already fills the cores; more threads inside a network would only queue for them.
    intraOpNumThreads: 1,
    interOpNumThreads: 1,
    executionMode: 'sequential',
    // An arena of its own a network keeps the most it ever took: together some 150 MB that nobody else can use.
    enableCpuMemArena: false,
    logSeverityLevel: 3,
  });
}

/**
 * Runs a network on one picture.
 * @param input values in the layout of the manifest
 * @param shape needed only where the manifest leaves a size open
 * @returns outputs by their names in the manifest
 * @throws Error where the network's file is missing or damaged, or the input has the wrong size.
 */
export async function runNetwork(
  name: NetworkName,
  input: Float32Array | Int32Array,
  shape?: readonly number[],
): Promise<Readonly<Record<string, NetworkOutput>>> {
  const network = describe(name, await currentManifest());
  let session = sessions.get(name);
  if (session === undefined) {
    session = open(name);
    sessions.set(name, session);
    // Nor is a failed opening.
    session.catch(() => sessions.delete(name));
  }
  const dims = shape ?? network.input.shape.map((size) => Number(size));
  const tensor =
    network.input.type === 'int32'
      ? new Tensor('int32', Int32Array.from(input), dims)
      : new Tensor('float32', input instanceof Float32Array ? input : Float32Array.from(input), dims);
  const results = await (await session).run({ [network.input.name]: tensor });
  const outputs: Record<string, NetworkOutput> = {};
  for (const { name: output } of network.outputs) {
    const found = results[output];
    if (found === undefined || !(found.data instanceof Float32Array)) {
      throw new Error(`The network ${name} has no output ${output}; restore models/ from the repository.`);
    }
    outputs[output] = { data: found.data, shape: found.dims };
  }
  return outputs;
}

/** Name to SHA-256 of every network in the manifest; part of the version of a measurement. */
export async function modelHashes(): Promise<Readonly<Record<string, string>>> {
  const { networks } = await currentManifest();
  return Object.fromEntries(
    Object.entries(networks)
      .map(([name, network]) => [name, network.sha256] as const)
      .sort(([a], [b]) => (a < b ? -1 : 1)),
  );
}
