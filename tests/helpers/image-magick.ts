/** Counts by ImageMagick (Debian package `imagemagick`): nothing of it runs in the pipeline, so it is no relation of what it checks. */
import { spawnSync } from 'node:child_process';
import type { Rgb8 } from '../../pipeline/contracts/frame-image.ts';

function convert({ width, height, data }: Rgb8, args: readonly string[]): string {
  const input = ['-size', `${width}x${height}`, '-depth', '8', 'rgb:-'];
  const { status, stdout, stderr, error } = spawnSync('convert', [...input, ...args], { input: data });
  if (status === 0) return stdout.toString();
  throw new Error(
    `ImageMagick's convert did not run: ${error?.message ?? stderr}. As root, run: apt-get install --no-install-recommends imagemagick`,
  );
}

/** Between 254 and 255, and between 0 and 1, of 255. */
const ceiling = ['-separate', '-threshold', '99.8%', '-evaluate-sequence'];
const floor = ['-separate', '-negate', '-threshold', '99.8%', '-evaluate-sequence'];

export interface EndCounts {
  /** Px with at least one, two and three channels at the ceiling. */
  readonly clipped: readonly [one: number, two: number, three: number];
  /** Px with every channel at 0. */
  readonly blocked: number;
  /** Areas of the 8-connected patches of px with a channel at the ceiling, largest first. */
  readonly clippedPatches: readonly number[];
}

export function endCounts(picture: Rgb8): EndCounts {
  const count = (side: readonly string[], join: string) => ['(', '-clone', '0', ...side, join, ')'];
  const counted = convert(picture, [
    ...count(ceiling, 'max'),
    ...count(ceiling, 'median'),
    ...count(ceiling, 'min'),
    ...count(floor, 'min'),
    ...['-delete', '0', '-format', '%[fx:round(mean*w*h)]\n', 'info:'],
  ]);
  const [one, two, three, blocked] = counted.trim().split('\n').map(Number);
  const patches = convert(picture, [
    ...ceiling,
    'max',
    ...['-define', 'connected-components:verbose=true', '-connected-components', '8', 'null:'],
  ]);
  // "  12: 3x4+120+16 121.0,17.5 9 gray(255)": id, box, centroid, area, colour.
  const clippedPatches = [...patches.matchAll(/ (\d+) gray\(255\)/g)]
    .map(([, area]) => Number(area))
    .sort((a, b) => b - a);
  return { clipped: [one!, two!, three!], blocked: blocked!, clippedPatches };
}
