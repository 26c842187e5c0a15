/**
 * The committed networks without their source package: bytes against the manifest, inputs and outputs, and a few numbers that
 * TensorFlow.js 4.22 computed from the originals (`npx tsx tests/parity/record-golden.ts`). Full parity: `tests/parity`.
 */
import { createHash } from 'node:crypto';
import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { InferenceSession } from 'onnxruntime-node';
import { afterAll, describe, expect, it } from 'vitest';
import { networkManifestSchema, networkNames } from '../../pipeline/contracts/network-manifest.ts';
import { loadNetwork, modelHashes, runNetwork } from '../../pipeline/measure/networks/session.ts';
import { networkInput } from '../helpers/network-input.ts';
import golden from './networks-golden.json' with { type: 'json' };

const models = fileURLToPath(new URL('../../models/', import.meta.url));
const manifest = networkManifestSchema.parse(JSON.parse(readFileSync(join(models, 'manifest.json'), 'utf8')));
const scratch = mkdtempSync(join(tmpdir(), 'nightrail-test-'));
afterAll(() => rmSync(scratch, { recursive: true }));

describe('the folder of networks', () => {
  it('holds exactly the networks of the manifest', () => {
    const files = readdirSync(models).filter((name) => name.endsWith('.onnx'));
    expect(Object.keys(manifest.networks).sort()).toEqual([...networkNames].sort());
    expect(files.sort()).toEqual(
      Object.values(manifest.networks)
        .map(({ file }) => file)
        .sort(),
    );
  });

  it('is at most 48 MiB', () => {
    const total = Object.values(manifest.networks).reduce((sum, { bytes }) => sum + bytes, 0);
    expect(total).toBeLessThanOrEqual(48 * 2 ** 20);
  });

  it('tells its hashes', async () => {
    const hashes = await modelHashes();
    for (const name of networkNames) expect(hashes[name]).toBe(manifest.networks[name]!.sha256);
  });
});

describe.each(networkNames)('%s', (name) => {
  const network = manifest.networks[name]!;
  const bytes = readFileSync(join(models, network.file));

  it('has the bytes of the manifest', () => {
    expect(bytes.length).toBe(network.bytes);
    expect(createHash('sha256').update(bytes).digest('hex')).toBe(network.sha256);
  });

  it('has the inputs and outputs of the manifest', async () => {
    const session = await InferenceSession.create(bytes, { intraOpNumThreads: 1 });
    const shapes = (list: InferenceSession['inputMetadata']) =>
      list.map((value) => (value.isTensor ? [value.name, value.type, value.shape] : [value.name]));
    expect(shapes(session.inputMetadata)).toEqual([
      [network.input.name, network.input.type, network.input.shape],
    ]);
    const outputs = shapes(session.outputMetadata);
    for (const output of network.outputs) {
      expect(outputs).toContainEqual([output.name, output.type, output.shape]);
    }
    await session.release();
  });

  it('computes what TensorFlow.js computed', async () => {
    const input = networkInput(name, network, 'figure');
    const outputs = await runNetwork(
      name,
      (into) => into.set(input.values),
      (outputs) => structuredClone(outputs),
      input.shape,
    );
    const expected = golden[name] as Record<string, { length: number; range: number; samples: number[][] }>;
    expect(Object.keys(outputs)).toEqual(Object.keys(expected));
    for (const [output, { length, range, samples }] of Object.entries(expected)) {
      const { data } = outputs[output]!;
      expect(data.length).toBe(length);
      // An output of one number is a probability, its range 0..1.
      const tolerance = 1e-3 * (length === 1 ? 1 : range);
      for (const [index, value] of samples) {
        expect(Math.abs(data[index!]! - value!), `${output}[${index}]`).toBeLessThanOrEqual(tolerance);
      }
    }
  });
});

describe('loading', () => {
  const folder = pathToFileURL(`${scratch}/`);

  it('names a missing file and says what to do', async () => {
    copyFileSync(join(models, 'manifest.json'), join(scratch, 'manifest.json'));
    await expect(loadNetwork('iris', folder)).rejects.toThrow(/iris\.onnx cannot be read; restore it/);
  });

  it('names a damaged file and says what to do', async () => {
    const bytes = readFileSync(join(models, manifest.networks.iris!.file));
    bytes[1000]! ^= 1;
    copyFileSync(join(models, 'manifest.json'), join(scratch, 'manifest.json'));
    writeFileSync(join(scratch, manifest.networks.iris!.file), bytes);
    await expect(loadNetwork('iris', folder)).rejects.toThrow(/iris\.onnx is not the one in .*restore it/);
  });

  it('names a manifest that is no manifest', async () => {
    writeFileSync(join(scratch, 'manifest.json'), '{}');
    await expect(loadNetwork('iris', folder)).rejects.toThrow(/manifest\.json cannot be read/);
  });

  it('does not depend on the working folder', async () => {
    const before = process.cwd();
    process.chdir(scratch);
    try {
      const input = networkInput('iris', manifest.networks.iris!, 'figure');
      expect(
        Object.keys(
          await runNetwork(
            'iris',
            (into) => into.set(input.values),
            (outputs) => structuredClone(outputs),
          ),
        ),
      ).toEqual(['Identity']);
    } finally {
      process.chdir(before);
    }
  });
});
