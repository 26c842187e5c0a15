/** The networks' runtime with a clock on it: which network ran how long, and its last input for running it once more bare. */
import { InferenceSession } from 'onnxruntime-node';
import manifest from '../../models/manifest.json' with { type: 'json' };
import type { Observe } from '../../pipeline/measure/measure-frame.ts';

type Feeds = Parameters<InferenceSession['run']>[0];
type Fetches = Parameters<InferenceSession['run']>[1];

export interface WatchedNetworks {
  /** Every network that ran so far, once, on the input it had last. */
  runEachOnce(): Promise<void>;
}

/** The product opens networks from their bytes: no two have the same number of them. */
function nameOf(bytes: Uint8Array): string {
  const found = Object.entries(manifest.networks).find(([, network]) => network.bytes === bytes.length);
  if (found === undefined) throw new Error(`No network of ${bytes.length} bytes is in models/manifest.json.`);
  return found[0];
}

/** Must be called before the first network is opened. */
export function watchNetworks(observe: Observe): WatchedNetworks {
  const bareRuns = new Map<string, () => Promise<unknown>>();
  const open = InferenceSession.create.bind(InferenceSession);
  const create = async (bytes: Uint8Array, settings: InferenceSession.SessionOptions) => {
    const session = await open(bytes, settings);
    const name = nameOf(bytes);
    const run = session.run.bind(session);
    const watched = (feeds: Feeds, fetches: Fetches) => {
      bareRuns.set(name, () => run(feeds, fetches));
      return observe(`network ${name}`, () => run(feeds, fetches));
    };
    return Object.assign(session, { run: watched });
  };
  Object.assign(InferenceSession, { create });
  return {
    async runEachOnce() {
      for (const run of bareRuns.values()) await run();
    },
  };
}
