/** Runs the networks as their publisher ships them, in TensorFlow.js: the reference that the ONNX files must equal. */
import '@tensorflow/tfjs-backend-wasm';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type GraphModel, loadGraphModel } from '@tensorflow/tfjs-converter';
import { dispose, type io, ready, setBackend, type Tensor, tensor } from '@tensorflow/tfjs-core';
import type { Network } from '../../pipeline/contracts/network-manifest.ts';
import type { NetworkInput } from '../helpers/network-input.ts';

interface Topology extends io.ModelArtifacts {
  readonly weightsManifest: readonly { readonly weights: io.WeightsManifestEntry[] }[];
  readonly userDefinedMetadata?: { signature?: io.ModelArtifacts['signature'] & object };
}
type Signature = Readonly<{ outputs: Readonly<Record<string, { readonly name: string }>> }>;

export interface Original {
  /** Outputs by their names in the manifest. */
  run(input: NetworkInput): Promise<Readonly<Record<string, Float32Array>>>;
}

export async function openOriginal(network: Network, packageFolder: string): Promise<Original> {
  await setBackend('wasm');
  await ready();
  const [topologyFile, weightFile] = network.source.files;
  const topology = JSON.parse(readFileSync(join(packageFolder, topologyFile.path), 'utf8')) as Topology;
  const weights = readFileSync(join(packageFolder, weightFile.path));
  const signature = (topology.signature ?? topology.userDefinedMetadata?.signature) as Signature;
  const model: GraphModel = await loadGraphModel({
    load: async () => ({
      ...topology,
      weightSpecs: topology.weightsManifest.flatMap((group) => group.weights),
      weightData: Uint8Array.from(weights).buffer,
    }),
  });
  const names = network.outputs.map(
    ({ name }) => (signature.outputs[name] ?? signature.outputs[`${name}:0`])!.name,
  );
  return {
    async run(input) {
      const fed: Tensor = tensor(
        input.values,
        [...input.shape],
        input.values instanceof Int32Array ? 'int32' : 'float32',
      );
      // executeAsync serves every graph, also those whose sizes follow from values.
      const found = await model.executeAsync(fed, names);
      const list = Array.isArray(found) ? found : [found];
      const outputs: Record<string, Float32Array> = {};
      for (const [index, { name }] of network.outputs.entries()) {
        outputs[name] = Float32Array.from(await list[index]!.data());
      }
      dispose([fed, ...list]);
      return outputs;
    },
  };
}
