/**
 * How soon a frame is judged on set: from its last byte to the garment's page that shows it, and to the line on the terminal.
 * `npm run bench:watch -- [frames]`, by default 10 of 24 Mpx, one by one, then a burst of three; status 1 where the slowest of
 * those that came one by one took longer than was asked.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { median } from '../../pipeline/numeric/statistics.ts';
import { type Figure, printFigures } from './targets.ts';

const limitMs = 2000;
const burst = 3;
const longestWaitMs = 300_000;
const launcher = fileURLToPath(new URL('../../workers/nightrail.js', import.meta.url));

const model = fileURLToPath(new URL('../../samples/delivery/tea-dress/a-0447.jpg', import.meta.url));

/** A demo frame at 24 Mpx, with grain over it so that there is detail down to every px; each number gives other bytes. */
async function frameOf(number: number): Promise<Buffer> {
  const [width, height] = [4000, 6000];
  const grain = { type: 'gaussian', mean: 128, sigma: 12 } as const;
  const noise = sharp({ create: { width, height, channels: 3, background: '#808080', noise: grain } });
  return sharp(model)
    .resize(width, height, { fit: 'cover' })
    .composite([{ input: await noise.png({ compressionLevel: 0 }).toBuffer(), blend: 'overlay' }])
    .withExif({ IFD0: { ImageDescription: `frame ${number}` } })
    .jpeg({ quality: 92 })
    .toBuffer();
}

async function until(what: string, holds: () => boolean | Promise<boolean>): Promise<void> {
  for (const beganMs = performance.now(); !(await holds()); await delay(10))
    if (performance.now() - beganMs > longestWaitMs) throw new Error(`Waited in vain until ${what}.`);
}

const textOf = (path: string): Promise<string> => readFile(path, 'utf8').catch(() => '');

/** Latencies of one frame, ms from its last byte. */
interface Latency {
  readonly pageMs: number;
  readonly lineMs: number;
}

interface Watch {
  readonly child: ChildProcess;
  /** When each frame's line was said, ms of this process's clock. */
  readonly saidMs: ReadonlyMap<string, number>;
}

function startWatch(folder: string): Watch {
  const child = spawn(process.execPath, [launcher, 'watch', 'shoot', '--out', 'out'], {
    cwd: folder,
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  const saidMs = new Map<string, number>();
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    for (const [, name] of text.matchAll(/^(\d+\.jpg):/gm)) saidMs.set(name!, performance.now());
  });
  return { child, saidMs };
}

async function arrive(folder: string, number: number, jpeg: Buffer, { saidMs }: Watch): Promise<Latency> {
  const name = `${number}.jpg`;
  await writeFile(join(folder, 'shoot', 'dress', name), jpeg);
  const lastByteMs = performance.now();
  const page = join(folder, 'out', 'garments', 'dress.html');
  await until(`the page shows ${name}`, async () => (await textOf(page)).includes(`dress/${name}`));
  const pageMs = performance.now() - lastByteMs;
  await until(`${name} was said`, () => saidMs.has(name));
  return { pageMs, lineMs: saidMs.get(name)! - lastByteMs };
}

/** @param targetMs what was asked of each frame; `null` where nothing was. */
function figuresOf(what: string, latencies: readonly Latency[], targetMs: number | null): readonly Figure[] {
  const of = (kind: keyof Latency, told: string, target: number | null): Figure => {
    const ms = latencies.map((latency) => latency[kind]);
    const more = `slowest of ${ms.length}; median ${median(ms).toFixed(0)} ms, quickest ${Math.min(...ms).toFixed(0)} ms`;
    return { what: `${what}: ${told}`, value: Math.max(...ms), target, unit: 'ms', more };
  };
  return [of('pageMs', 'garment page renewed', targetMs), of('lineMs', 'said on the terminal', targetMs)];
}

const frames = Number(process.argv[2] ?? 10);
const jpegs: Buffer[] = [];
for (let number = 0; number < frames + burst; number += 1) jpegs.push(await frameOf(number));
const folder = await mkdtemp(join(tmpdir(), 'nightrail-bench-'));
await mkdir(join(folder, 'shoot', 'dress'), { recursive: true });
const watch = startWatch(folder);
try {
  await until('its threads are warm', async () =>
    (await textOf(join(folder, 'out', 'nightrail.log'))).includes('threads are warm'),
  );
  const single: Latency[] = [];
  for (let number = 0; number < frames; number += 1)
    single.push(await arrive(folder, number, jpegs[number]!, watch));
  const together = jpegs.slice(frames).map((jpeg, index) => arrive(folder, frames + index, jpeg, watch));
  console.log(`From the last byte of a 24 Mpx JPEG of ${(jpegs[0]!.length / 2 ** 20).toFixed(1)} MiB`);
  printFigures([
    ...figuresOf('one by one', single, limitMs),
    ...figuresOf(`${burst} at once`, await Promise.all(together), null),
  ]);
} finally {
  watch.child.kill('SIGKILL');
  await rm(folder, { recursive: true, force: true, maxRetries: 3 });
}
