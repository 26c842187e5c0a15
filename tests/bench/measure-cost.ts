/**
 * What sharpness, exposure and colour add to decoding: processor time of each part on a 24 Mpx frame, with and without flash and EXIF.
 * `npm run bench:measure -- [rounds]`, by default 5; medians go to standard output, status 1 where the limit is passed.
 */
import { measureFrame } from '../../pipeline/measure/measure-frame.ts';
import { median } from '../../pipeline/numeric/statistics.ts';
import { captures, highDetailFrame } from './bench-frames.ts';
import { StageClock, spread } from './stage-clock.ts';

/** What the measurements of sharpness, exposure and colour may add to the time of decoding. */
const mostAdded = 0.6;
const parts = ['sharpness', 'exposure', 'colour'] as const;

const rounds = Number(process.argv[2] ?? 5);
for (const capture of captures) {
  const bytes = await highDetailFrame(24, capture);
  // The first round loads networks and warms the compiler up.
  await measureFrame(bytes);
  const clock = new StageClock();
  for (let round = 0; round < rounds; round++) {
    await measureFrame(bytes, undefined, clock.observe);
    clock.endFrame();
  }
  const cpuMs = (...stages: readonly string[]) => clock.costs(...stages).map((cost) => cost.cpuMs);
  const decodeMs = median(cpuMs('decode'));
  console.log(`24 Mpx JPEG of ${(bytes.length / 2 ** 20).toFixed(1)} MiB, ${capture}, ${rounds} rounds`);
  for (const part of ['decode', ...parts]) {
    const share = ((100 * median(cpuMs(part))) / decodeMs).toFixed(0);
    console.log(`  ${part.padEnd(10)} ${spread(cpuMs(part))} ms, ${share} % of decoding`);
  }
  const added = median(cpuMs(...parts)) / decodeMs;
  console.log(`  together they add ${(100 * added).toFixed(0)} %; limit ${100 * mostAdded} %`);
  if (added > mostAdded) process.exitCode = 1;
}
