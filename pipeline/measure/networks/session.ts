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

/** Numbers go in as the network wants them: those of 32-bit integers must be whole. */
export type NetworkInput = Float32Array | Int32Array;

/** Levels 0..255 as the shares 0..1 that most of the networks take. */
export function fillShares(input: NetworkInput, levels: Float32Array): void {
  for (let index = 0; index < levels.length; index++) input[index] = levels[index]! / 255;
}

export type NetworkOutputs = Readonly<Record<string, NetworkOutput>>;

/** What one run reads and writes. */
interface Buffers {
  readonly input: NetworkInput;
  readonly outputs: NetworkOutputs;
  readonly feeds: Readonly<Record<string, Tensor>>;
  readonly fetches: Readonly<Record<string, Tensor>>;
}

let manifest: Promise<NetworkManifest> | undefined;
const sessions = new Map<NetworkName, Promise<InferenceSession>>();
/** Of each network those that no run uses: new ones for each run would soon call for a collection. */
const spareBuffers = new Map<NetworkName, Buffers[]>();

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
    // Nor one block of up to 20 MB for all layers of a run: malloc finds room for single layers in memory that is still warm.
    enableMemPattern: false,
    logSeverityLevel: 3,
  });
}

function openOnce(name: NetworkName): Promise<InferenceSession> {
  let session = sessions.get(name);
  if (session === undefined) {
    session = open(name);
    sessions.set(name, session);
    // A failed opening is not remembered either.
    session.catch(() => sessions.delete(name));
  }
  return session;
}

const count = (shape: readonly number[]): number => shape.reduce((product, size) => product * size, 1);

function newBuffers({ input, outputs }: Network, shape: readonly number[]): Buffers {
  const tensor =
    input.type === 'int32'
      ? new Tensor('int32', new Int32Array(count(shape)), shape)
      : new Tensor('float32', new Float32Array(count(shape)), shape);
  const fetches: Record<string, Tensor> = {};
  const read: Record<string, NetworkOutput> = {};
  for (const { name, shape } of outputs) {
    const sizes = shape.map(Number);
    const data = new Float32Array(count(sizes));
    fetches[name] = new Tensor('float32', data, sizes);
    read[name] = { data, shape: sizes };
  }
  return { input: tensor.data as NetworkInput, outputs: read, feeds: { [input.name]: tensor }, fetches };
}

/**
 * Runs a network on one picture.
 * @param fill writes every input value, in the layout of the manifest
 * @param read takes what it needs of the outputs, by their names in the manifest; the next run overwrites them
 * @param openShape needed only where the manifest leaves a size of the input open
 * @returns what `read` returns
 * @throws Error where the network's file is missing or damaged.
 */
export async function runNetwork<T>(
  name: NetworkName,
  fill: (input: NetworkInput) => void,
  read: (outputs: NetworkOutputs) => T,
  openShape?: readonly number[],
): Promise<T> {
  const network = describe(name, await currentManifest());
  const session = await openOnce(name);
  const shape = openShape ?? network.input.shape.map(Number);
  const spare = spareBuffers.get(name) ?? [];
  spareBuffers.set(name, spare);
  const last = spare.pop();
  const fits = last !== undefined && last.feeds[network.input.name]?.dims.join() === shape.join();
  const buffers = fits ? last : newBuffers(network, shape);
  fill(buffers.input);
  await session.run(buffers.feeds, buffers.fetches);
  const result = read(buffers.outputs);
  spare.push(buffers);
  return result;
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
