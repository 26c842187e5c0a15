/** Drift on photographs of people: each photograph in several crops is a set, in which one frame is relit. */
import { readFile } from 'node:fs/promises';
import sharp from 'sharp';
import type { Rgb8 } from '../../pipeline/contracts/frame-image.ts';
import type { Subject } from '../../pipeline/contracts/measurement/people.ts';
import type { SetFrame } from '../../pipeline/judge/drift.ts';
import { wilsonInterval } from '../../pipeline/numeric/proportion.ts';
import { relit } from '../helpers/relit.ts';
import { changes, driftIn, setFrame, toleranceMired } from './drift-of-frames.ts';
import { type Half, halves, labelledPhotographs } from './labelled-photographs.ts';
import { onceEach } from './once-each.ts';
import { look, type Scene } from './scene.ts';
import type { SweepPlan, SweepPoint } from './sweep.ts';
import { successes } from './words.ts';

/** Photographs of each half: with four crops and a relit one each, all are looked at in a few minutes. */
const wantedOfHalf = 10;

type Crop = 'full' | 'knee' | 'waist' | 'detail';
type Edges = readonly [left: number, top: number, right: number, bottom: number];

/** Where a photographer would crop, in shares of the frame; by the mean height of shoulders, hips and knees. */
function cropsOf({ keypoints }: Subject, width: number, height: number): Readonly<Record<Crop, Edges>> {
  const middle = (joint: string, axis: 0 | 1): number => {
    const pair = keypoints.filter(({ name }) => name.endsWith(joint));
    return pair.reduce((sum, { at }) => sum + at[axis], 0) / pair.length;
  };
  const [shoulders, hips, knees] = [middle('shoulder', 1), middle('hip', 1), middle('knee', 1)];
  const centre = (middle('shoulder', 0) + middle('hip', 0)) / 2;
  const trunk = Math.max(hips - shoulders, 0.05);
  const across = (trunk * height) / width;
  return {
    full: [0, 0, 1, 1],
    knee: [0.05, 0, 0.95, knees + 0.15 * trunk],
    waist: [centre - 1.1 * across, 0, centre + 1.1 * across, hips + 0.1 * trunk],
    detail: [
      centre - 0.55 * across,
      shoulders - 0.1 * trunk,
      centre + 0.55 * across,
      shoulders + 1.1 * trunk,
    ],
  };
}

function cut({ data, width, height }: Rgb8, edges: Edges): Promise<Buffer> {
  const [left, top, right, bottom] = edges.map((edge, side) =>
    Math.round(Math.min(1, Math.max(0, edge)) * (side % 2 === 0 ? width : height)),
  ) as [number, number, number, number];
  return sharp(data, { raw: { width, height, channels: 3 } })
    .extract({ left, top, width: Math.max(1, right - left), height: Math.max(1, bottom - top) })
    .png()
    .toBuffer();
}

/**
 * The frame under another light, saved and looked at anew as any other. Without loss, because the truth has to be in the file: a JPEG
 * of quality 92 rounds the colour of an even dark cloth by up to a code, 2 mired.
 */
async function lookRelit({ image: { srgb } }: Scene, mired: number, duv: number): Promise<Scene> {
  const { data, width, height } = relit(srgb, mired, duv);
  return look(
    await sharp(data, { raw: { width, height, channels: 3 } })
      .png()
      .toBuffer(),
  );
}

interface Reading {
  readonly half: Half;
  readonly where: string;
  readonly truth: number;
  readonly measured: number | null;
}

interface Readings {
  readonly sameCrop: Reading[];
  readonly otherCrop: Reading[];
  readonly cropOnly: Reading[];
}

async function readingsIn(folder: string, labels: string): Promise<Readings> {
  const readings: Readings = { sameCrop: [], otherCrop: [], cropOnly: [] };
  const photographs = await labelledPhotographs(folder, labels);
  for (const half of halves) {
    const some = photographs.filter((photograph) => photograph.half === half).slice(0, wantedOfHalf);
    for (const [order, { path, name }] of some.entries()) {
      const whole = await look(await readFile(path));
      const subject = whole.people.subjects[0];
      if (subject === undefined) continue;
      const { width, height } = whole.image.srgb;
      const scenes: [Crop, Scene][] = [];
      for (const [crop, edges] of Object.entries(cropsOf(subject, width, height)) as [Crop, Edges][]) {
        scenes.push([crop, crop === 'full' ? whole : await look(await cut(whole.image.srgb, edges))]);
      }
      const still = scenes.map(([crop, scene]) => setFrame(crop, scene));
      for (const [crop] of scenes) {
        const measured = driftIn(still, crop)?.mired ?? null;
        readings.cropOnly.push({ half, where: `${name} ${crop}`, truth: 0, measured });
      }
      const [target, scene] = scenes[order % scenes.length]!;
      const [mired, duv] = changes[order % changes.length]!;
      const moved = setFrame('moved', await lookRelit(scene, mired, duv));
      const read = (set: readonly SetFrame[]): Reading => ({
        half,
        where: `${name} ${target}, ${mired} mired and ${duv} Duv`,
        truth: mired,
        measured: driftIn([...set, moved], 'moved')?.mired ?? null,
      });
      readings.sameCrop.push(read(still));
      readings.otherCrop.push(read(still.filter(({ id }) => id !== target)));
    }
  }
  return readings;
}

/** All three sweeps look at the same frames once. */
const readingsOnce = onceEach(readingsIn);

const errorOf = ({ truth, measured }: Reading): number =>
  Math.abs((measured ?? Number.POSITIVE_INFINITY) - truth);

/** One point a half: the share of its compared frames that are read within the limit. */
function shareOfHalves(readings: readonly Reading[]): readonly SweepPoint[] {
  return halves.flatMap((half) => {
    const own = readings.filter((reading) => reading.half === half);
    const compared = own.filter(({ measured }) => measured !== null);
    const within = compared.filter((reading) => errorOf(reading) <= toleranceMired(reading.truth));
    const share = wilsonInterval(within.length, compared.length);
    if (share === null) return [];
    const worst = compared.reduce((most, reading) => (errorOf(reading) > errorOf(most) ? reading : most));
    const condition = `${half} numbers: ${successes(share)}, ${own.length - compared.length} more not compared, worst ${errorOf(worst).toFixed(1)} mired off (${worst.where})`;
    return [{ truth: 1, measured: within.length / compared.length, low: 1, high: 1, condition }];
  });
}

const common = {
  unit: 'share of compared frames',
  range: 'ten photographs each of even and of odd numbers, in four crops',
  source: 'von Kries change of the light, in linear sRGB',
};

/** The set holds the same crop under its own light. */
export const relitOnPhotographs = (folder: string, labels: string): SweepPlan => ({
  ...common,
  id: 'photographs-relit',
  quantity: 'drift of a relit frame, crop unchanged',
  limitText: 'every compared frame within 1.5 mired or 5 %; 2 mired where only the tint changed',
  measure: async () => shareOfHalves((await readingsOnce(folder, labels)).sameCrop),
});

/** The set holds other crops only. */
export const relitAndCroppedOnPhotographs = (folder: string, labels: string): SweepPlan => ({
  ...common,
  id: 'photographs-relit-and-cropped',
  quantity: 'drift of a relit frame, crop changed',
  limitText: 'every compared frame within 1.5 mired or 5 %; 2 mired where only the tint changed',
  measure: async () => shareOfHalves((await readingsOnce(folder, labels)).otherCrop),
});

export const croppedOnPhotographs = (folder: string, labels: string): SweepPlan => ({
  ...common,
  id: 'photographs-cropped',
  quantity: 'drift where only the crop changed',
  limitText: 'every compared frame within 2 mired',
  source: 'crops of one photograph',
  measure: async () => shareOfHalves((await readingsOnce(folder, labels)).cropOnly),
});
