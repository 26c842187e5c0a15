/** Photographs moved along a known path: the motion must be told, and none of the still ones. */
import { readFile } from 'node:fs/promises';
import sharp from 'sharp';
import type { Rgb8 } from '../../pipeline/contracts/frame-image.ts';
import type { Sharpness } from '../../pipeline/contracts/measurement/sharpness.ts';
import { decodeFrame } from '../../pipeline/decode/decode-frame.ts';
import { measureSharpness } from '../../pipeline/measure/sharpness.ts';
import { moved } from '../helpers/motion-blur.ts';
import { halves, type LabelledPhotograph, labelledPhotographs, seenIn } from './labelled-photographs.ts';
import type { SweepPlan, SweepPoint } from './sweep.ts';

interface Path {
  readonly lengthPx: number;
  readonly deg: number;
}

const paths: readonly Path[] = [
  { lengthPx: 6, deg: 30 },
  { lengthPx: 8, deg: 100 },
  { lengthPx: 12, deg: 150 },
] as const;

/** Of length and direction, as on charts. */
const lengthLimit = 0.15;
const degLimit = 8;
/** Photographs of this size show too few edges for every motion to be told: a direction needs them all round. */
const leastShare = 0.5;
const photographsOfHalf = 20;

const directions = ({ eyes, face, garment }: Sharpness) =>
  [eyes, face, garment].flatMap((region) => (region?.kind === 'motion' && region.direction) || []);

async function decoded({ width, height, data }: Rgb8) {
  const raw = { width, height, channels: 3 as const };
  return (await decodeFrame(await sharp(data, { raw }).png({ compressionLevel: 1 }).toBuffer())).image;
}

async function isTold(photograph: LabelledPhotograph, { lengthPx, deg }: Path): Promise<boolean> {
  const { regions } = await seenIn(photograph);
  const { image } = await decodeFrame(await readFile(photograph.path));
  const sharpness = measureSharpness(await decoded(moved(image.srgb, lengthPx, deg)), regions);
  const right = (found: Path): boolean =>
    Math.abs(found.lengthPx / lengthPx - 1) <= lengthLimit &&
    Math.abs(((found.deg - deg + 270) % 180) - 90) <= degLimit;
  const found = directions(sharpness);
  return found.length > 0 && found.every(right);
}

/** Share of the photographs that pass. */
async function share(
  photographs: readonly LabelledPhotograph[],
  passes: (photograph: LabelledPhotograph) => Promise<boolean>,
): Promise<number> {
  let count = 0;
  for (const photograph of photographs) if (await passes(photograph)) count++;
  return count / photographs.length;
}

export function motionOnPhotographs(folder: string, labels: string): SweepPlan {
  return {
    id: 'motion-photographs',
    quantity: 'share of photographs whose motion is told',
    unit: 'share',
    range: `${photographsOfHalf} photographs moved by 6, 8 and 12 px, and the same ones still, even and odd numbers apart`,
    source: 'the path: length within 15 %, direction within 8 degrees',
    limitText: 'at least half of the moved ones, none of the still ones',
    measure: async () => {
      const photographs = await labelledPhotographs(folder, labels);
      const points: SweepPoint[] = [];
      for (const half of halves) {
        const own = photographs.filter((one) => one.half === half).slice(0, photographsOfHalf);
        if (own.length === 0) continue;
        const still = await share(own, async (one) => directions((await seenIn(one)).sharpness).length > 0);
        points.push({ truth: 0, measured: still, low: 0, high: 0, condition: `${half} numbers, still` });
        for (const path of paths) {
          points.push({
            truth: 1,
            measured: await share(own, (one) => isTold(one, path)),
            low: leastShare,
            high: 1,
            condition: `${half} numbers, ${path.lengthPx} px at ${path.deg} degrees`,
          });
        }
      }
      return points;
    },
  };
}
