import type { Box } from '../contracts/box.ts';
import type { FrameImage, Mask } from '../contracts/frame-image.ts';
import type { Picture } from '../contracts/measurement/measurement.ts';
import type { Regions } from '../contracts/regions.ts';
import { cropNative, thumbnail } from '../decode/pictures.ts';

/** Sizes that fill a phone's width and a third of a desktop page: common practice. */
const frameLongEdgePx = 900;
/** For sheets and lists: enough to tell frames apart, and a few hundred of them stay light. Common practice. */
const smallLongEdgePx = 240;
const cropPx = 360;
/** Room around the eyes, in widths of their box, so that brows and lids are judged with them. */
const roomAroundEyes = 0.25;

export interface Evidence {
  readonly name: string;
  readonly bytes: Buffer;
}

export interface ShownEvidence {
  readonly pictures: readonly Picture[];
  readonly evidence: readonly Evidence[];
}

/** Smallest box that holds all the given ones. */
function around(boxes: readonly Box[]): Box | null {
  if (boxes.length === 0) return null;
  const left = Math.min(...boxes.map(([x]) => x));
  const top = Math.min(...boxes.map(([, y]) => y));
  const right = Math.max(...boxes.map(([x, , width]) => x + width));
  const bottom = Math.max(...boxes.map(([, y, , height]) => y + height));
  return [left, top, right - left, bottom - top];
}

function widened([x, y, width, height]: Box, room: number): Box {
  return [x - room * width, y - room * width, width * (1 + 2 * room), height + 2 * room * width];
}

/**
 * A box around the place where a crop holds the most of the mask: the centre of mass alone would fall between two sleeves.
 *
 * @param width share of the frame's width of the crop, `height` likewise.
 */
function fullest(mask: Mask, width: number, height: number): Box | null {
  const columns = Math.max(1, Math.round(width * mask.width));
  const rows = Math.max(1, Math.round(height * mask.height));
  const step = Math.max(1, Math.round(Math.min(columns, rows) / 4));
  let best: Box | null = null;
  let most = 0;
  for (let top = 0; top + rows <= mask.height; top += step) {
    for (let left = 0; left + columns <= mask.width; left += step) {
      let covered = 0;
      for (let y = top; y < top + rows; y += step) {
        for (let x = left; x < left + columns; x += step) covered += mask.data[y * mask.width + x] ?? 0;
      }
      if (covered > most) {
        most = covered;
        best = [left / mask.width, top / mask.height, columns / mask.width, rows / mask.height];
      }
    }
  }
  return best;
}

/** The small pictures of a frame that the documents show: the whole frame, and eyes, face and cloth px for px. */
export async function takeEvidence(image: FrameImage, regions: Regions): Promise<ShownEvidence> {
  const { width, height } = image.srgb;
  const face = regions.faces[0];
  const eyes = around(face?.eyes.map(({ box }) => box) ?? []);
  const cloth =
    regions.garment && fullest(regions.garment, Math.min(1, cropPx / width), Math.min(1, cropPx / height));
  const wanted: readonly (readonly [Picture['shows'], Box | null])[] = [
    ['eyes', eyes && widened(eyes, roomAroundEyes)],
    ['face', face?.box ?? null],
    ['garment', cloth],
  ];

  const whole = await Promise.all(
    (
      [
        ['frame', frameLongEdgePx],
        ['small', smallLongEdgePx],
      ] as const
    ).map(async ([shows, longEdgePx]) => {
      const scale = Math.min(1, longEdgePx / Math.max(width, height));
      const picture: Picture = {
        file: `${shows}.jpg`,
        shows,
        box: [0, 0, 1, 1],
        width: Math.max(1, Math.round(width * scale)),
        height: Math.max(1, Math.round(height * scale)),
      };
      return { picture, bytes: await thumbnail(image, longEdgePx) };
    }),
  );
  const pictures: Picture[] = whole.map(({ picture }) => picture);
  const evidence: Evidence[] = whole.map(({ picture, bytes }) => ({ name: picture.file, bytes }));
  for (const [shows, box] of wanted) {
    if (box === null) continue;
    const crop = await cropNative(image, box, cropPx);
    const file = `${shows}.jpg`;
    pictures.push({
      file,
      shows,
      box: [crop.x / width, crop.y / height, crop.width / width, crop.height / height],
      width: crop.width,
      height: crop.height,
    });
    evidence.push({ name: file, bytes: crop.jpeg });
  }
  return { pictures, evidence };
}
