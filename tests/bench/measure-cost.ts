/**
 * What measuring costs beside decoding: processor time of each part on a 24 Mpx frame, and what sharpness, exposure and colour add.
 * `npm run bench:measure -- [rounds]`, by default 5; medians go to standard output, status 1 where the limit is passed.
 */
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { decodeFrame } from '../../pipeline/decode/decode-frame.ts';
import { measureColour } from '../../pipeline/measure/colour.ts';
import { measureExposure } from '../../pipeline/measure/exposure.ts';
import { findPeople } from '../../pipeline/measure/people.ts';
import { findRegions } from '../../pipeline/measure/regions.ts';
import { measureSharpness } from '../../pipeline/measure/sharpness.ts';
import { median } from '../../pipeline/numeric/statistics.ts';

const [width, height] = [4000, 6000];
/** What the measurements of sharpness, exposure and colour may add to the time of decoding. */
const mostAdded = 0.6;
const model = fileURLToPath(new URL('../../samples/delivery/linen-shift/a-0412.jpg', import.meta.url));

/** A frame of the demo shoot at 24 Mpx, with the grain of a high ISO over it so that there is detail down to every px. */
async function highDetailFrame(): Promise<Buffer> {
  const grain = { type: 'gaussian', mean: 128, sigma: 12 } as const;
  const noise = await sharp({ create: { width, height, channels: 3, background: '#808080', noise: grain } })
    .png({ compressionLevel: 0 })
    .toBuffer();
  return sharp(model)
    .resize(width, height, { fit: 'cover' })
    .composite([{ input: noise, blend: 'overlay' }])
    .jpeg({ quality: 95 })
    .toBuffer();
}

const spent = new Map<string, number[]>();

async function timed<T>(part: string, work: () => T | Promise<T>): Promise<T> {
  const began = process.cpuUsage();
  const result = await work();
  const { user, system } = process.cpuUsage(began);
  spent.set(part, [...(spent.get(part) ?? []), (user + system) / 1000]);
  return result;
}

async function round(bytes: Buffer): Promise<void> {
  const { image, capture } = await timed('decode', () => decodeFrame(bytes));
  const people = await timed('people', () => findPeople(image));
  const regions = await timed('regions', () => findRegions(image, people));
  await timed('sharpness', () => measureSharpness(image, regions));
  await timed('exposure', () => measureExposure(image, regions, capture));
  await timed('colour', () => measureColour(image, regions, people));
}

const rounds = Number(process.argv[2] ?? 5);
const bytes = await highDetailFrame();
console.log(`${width} x ${height} px, JPEG of ${(bytes.length / 2 ** 20).toFixed(1)} MiB, ${rounds} rounds`);
// The first round loads networks and warms the compiler up.
await round(bytes);
spent.clear();
for (let i = 0; i < rounds; i++) await round(bytes);

const costMs = (part: string): number => median(spent.get(part) ?? []);
for (const [part, times] of spent) {
  const share = ((100 * costMs(part)) / costMs('decode')).toFixed(0);
  console.log(
    `${part.padEnd(10)} ${costMs(part).toFixed(0).padStart(6)} ms (${Math.min(...times).toFixed(0)} to ${Math.max(...times).toFixed(0)}), ${share} % of decoding`,
  );
}
const added = (costMs('sharpness') + costMs('exposure') + costMs('colour')) / costMs('decode');
console.log(
  `sharpness, exposure and colour add ${(100 * added).toFixed(0)} % to decoding; limit ${100 * mostAdded} %`,
);
process.exitCode = added > mostAdded ? 1 : 0;
