/** Test charts with a known blur, drawn from the analytic edge spread: what the sharpness measurement is held against. */
import sharp from 'sharp';
import type { Mask } from '../../pipeline/contracts/frame-image.ts';
import { edgeSpread, type Spread } from './edge-spread.ts';
import { gaussian, seededRandom } from './random.ts';

/** Luma, row after row, whole numbers 0..255. */
export interface Chart {
  readonly width: number;
  readonly height: number;
  readonly luma: Uint8Array;
}

/** A chart as the lens throws it: shares of full brightness, row after row. */
export interface Drawing {
  readonly side: number;
  readonly share: Float64Array;
}

export interface ChartConditions {
  /** (bright - dark) / (bright + dark) of the encoded levels, which lie evenly round the middle of the scale; 1 is black and white. */
  readonly contrast: number;
  /** Standard deviation of white noise, levels. */
  readonly noiseLevels: number;
  /** 0..100, or `null`: not compressed. */
  readonly jpegQuality: number | null;
}

export const cleanChart: ChartConditions = { contrast: 0.8, noiseLevels: 0, jpegQuality: null };

/** Slant of the edge against the px columns, degrees: ISO 12233. */
export const slantDeg = 5;
export const slantedEdgeSide = 160;
/** Side of a star, px, and how many times it goes from dark to bright. */
const starSide = 400;
const starCycles = 8;

/** ISO 12233 slanted edge, dark to the left. */
export function slantedEdge(spread: Spread): Drawing {
  const slant = (slantDeg * Math.PI) / 180;
  const middle = (slantedEdgeSide - 1) / 2;
  return draw(slantedEdgeSide, (x, y) =>
    edgeSpread(spread, (x - middle) * Math.cos(slant) + (y - middle) * Math.sin(slant), -slantDeg),
  );
}

/** Where a star is true: each px is drawn from the two edges beside it, which is all there is to see where spokes are wide. */
export const starRing: Mask = (() => {
  const data = new Uint8Array(starSide * starSide);
  const middle = (starSide - 1) / 2;
  for (let i = 0; i < data.length; i++) {
    const radius = Math.hypot((i % starSide) - middle, Math.floor(i / starSide) - middle);
    data[i] = radius >= starSide / 4 ? 255 : 0;
  }
  return { width: starSide, height: starSide, data };
})();

/** Siemens star, edges of all directions; to be measured inside `starRing`. */
export function siemensStar(spread: Spread): Drawing {
  const middle = (starSide - 1) / 2;
  const sector = Math.PI / starCycles;
  return draw(starSide, (x, y) => {
    const radius = Math.hypot(x - middle, y - middle);
    // Rows run downwards, angles anticlockwise. A quarter of a sector keeps all edges off the px axes.
    const angle = Math.atan2(middle - y, x - middle) + sector / 4;
    const number = Math.floor(angle / sector);
    const inside = [number, number + 1].map((edge) => {
      const off = Math.abs(angle - edge * sector);
      const normalDeg = ((edge * sector - sector / 4) * 180) / Math.PI + 90;
      return edgeSpread(spread, radius * Math.sin(off), normalDeg);
    });
    const share = inside[0]! + inside[1]! - 1;
    return number % 2 === 0 ? share : 1 - share;
  });
}

function draw(side: number, at: (x: number, y: number) => number): Drawing {
  const share = new Float64Array(side * side);
  for (let i = 0; i < share.length; i++) share[i] = at(i % side, Math.floor(i / side));
  return { side, share };
}

/** Levels from shares of full brightness, then noise, then rounding, then JPEG. */
export async function expose({ side, share }: Drawing, conditions: ChartConditions): Promise<Chart> {
  const { contrast, noiseLevels, jpegQuality } = conditions;
  const random = seededRandom(20260914);
  const luma = Uint8Array.from(share, (bright) => {
    const noise = noiseLevels > 0 ? noiseLevels * gaussian(random) : 0;
    return Math.min(255, Math.max(0, Math.round(127.5 + 127.5 * contrast * (2 * bright - 1) + noise)));
  });
  const chart = { width: side, height: side, luma };
  return jpegQuality === null ? chart : compressed(chart, jpegQuality);
}

/** Through a JPEG file and back, as a grey picture. */
async function compressed({ width, height, luma }: Chart, quality: number): Promise<Chart> {
  const file = await sharp(luma, { raw: { width, height, channels: 1 } })
    .jpeg({ quality })
    .toBuffer();
  const decoded = await sharp(file).toColourspace('b-w').raw().toBuffer();
  return { width, height, luma: new Uint8Array(decoded) };
}
