/** One process of `machine-rate.ts`: one decode and each network once, over and over, on the JPEG it is given. */
import { once } from 'node:events';
import { readFile } from 'node:fs/promises';
import sharp from 'sharp';
import { measureFrame } from '../../pipeline/measure/measure-frame.ts';
import { watchNetworks } from './watched-networks.ts';

const measuredMs = 8000;

const networks = watchNetworks(async (_, work) => work());
const jpeg = await readFile(process.argv[2]!);
const bareWork = async (): Promise<void> => {
  await sharp(jpeg).raw().toBuffer();
  await networks.runEachOnce();
};
// Opens the networks and gives each its input.
await measureFrame(jpeg);
await bareWork();
process.send?.(0);
await once(process, 'message');
const beganMs = performance.now();
let frames = 0;
while (performance.now() - beganMs < measuredMs) {
  await bareWork();
  frames++;
}
process.send?.(frames / ((performance.now() - beganMs) / 1000), () => process.exit(0));
